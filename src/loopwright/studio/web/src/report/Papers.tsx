// What can be made of a design, and what is ready: one line a paper.
import { signal } from "@preact/signals";
import { bytes, Stamp, WorkLine } from "../parts/Work";
import { sound } from "../state/document";
import { jobFile } from "../state/jobs";
import type { JobKind } from "../state/jobs";
import { begin, busy, jobsOf } from "../state/work";
import { chosenScenario, ScenarioChoice } from "./ScenarioChoice";

export interface Paper {
  readonly kind: JobKind;
  readonly name: string;
  readonly about: string;
  /** What is chosen before it is made: options of the job, the first value unless told. */
  readonly choices?: Readonly<Record<string, readonly string[]>>;
  /** Whether it is about one run. */
  readonly run?: boolean;
}

const PAPER = ["A3", "A4"];
const THEME = ["light", "dark"];

export const PAPERS: readonly Paper[] = [
  { kind: "report", name: "Report", about: "One page (HTML): plan, block, drawing, runs, proofs, parts list. It needs no other file." },
  { kind: "pdf", name: "Sheets (PDF)", about: "Drawings at scale, sheet by sheet, to be printed.", choices: { paper: PAPER } },
  { kind: "dxf", name: "Drawing (DXF)", about: "For programs that draw: layers by kind of device." },
  { kind: "svg", name: "Drawing (SVG)", about: "For pages and papers, sharp at any size.", choices: { theme: THEME } },
  { kind: "png", name: "Picture (PNG)", about: "For slides and messages.", choices: { paper: PAPER, theme: THEME } },
  { kind: "tables", name: "Tables", about: "Readings of a run.", choices: { format: ["xlsx", "csv", "parquet"] }, run: true },
  { kind: "trace", name: "Trace", about: "Every cell and station of a run, frame by frame, for programs.", run: true },
];

/** What was chosen, by kind of paper and name of option. */
const chosen = signal<Readonly<Record<string, string>>>({});

export function Papers() {
  return (
    <div class="scroll">
      <table aria-label="Papers" class="papers">
        <thead>
          <tr>
            <th scope="col">what</th>
            <th scope="col">how</th>
            <th scope="col">
              <span class="unseen">make it</span>
            </th>
            <th scope="col">ready</th>
          </tr>
        </thead>
        <tbody>
          {PAPERS.map((paper) => (
            <PaperRow key={paper.kind} paper={paper} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function PaperRow({ paper }: { paper: Paper }) {
  const entries = Object.entries(paper.choices ?? {});
  const key = (option: string) => `${paper.kind} ${option}`;
  const value = (option: string, values: readonly string[]) => chosen.value[key(option)] ?? values[0] ?? "";
  const options = {
    ...Object.fromEntries(entries.map(([option, values]) => [option, value(option, values)])),
    ...(paper.run && chosenScenario()),
  };
  return (
    <tr>
      <th scope="row">
        {paper.name}
        <div class="soft">{paper.about}</div>
      </th>
      <td>
        <span class="bar">
          {paper.run && <ScenarioChoice />}
          {entries.map(([option, values]) => (
            <label key={option} class="choice">
              <span>{option === "theme" ? "sheet" : option}</span>
              <select
                value={value(option, values)}
                onChange={(event) => (chosen.value = { ...chosen.value, [key(option)]: event.currentTarget.value })}
              >
                {values.map((one) => (
                  <option key={one} value={one}>
                    {one}
                  </option>
                ))}
              </select>
            </label>
          ))}
        </span>
      </td>
      <td>
        <Make paper={paper} options={options} />
      </td>
      <td>
        <Ready kind={paper.kind} />
      </td>
    </tr>
  );
}

export function Make({ paper, options }: { paper: Paper; options: Record<string, unknown> }) {
  const [newest] = jobsOf(paper.kind);
  return (
    <button
      disabled={!sound.value || busy(newest)}
      onClick={() => void begin(paper.kind, options)}
    >
      {newest ? "Make anew" : "Make"}
      <span class="unseen">: {paper.name}</span>
    </button>
  );
}

/** What the newest job is at, and the files of the last that was done. */
export function Ready({ kind }: { kind: JobKind }) {
  const jobs = jobsOf(kind);
  const [newest] = jobs;
  const done = jobs.find((job) => job.state === "done");
  if (!newest) return <span class="soft">not made yet</span>;
  return (
    <div class="ready">
      {newest.state !== "done" && <WorkLine job={newest} />}
      {done && (
        <span class="bar">
          {done.files.map((one) => (
            <a key={one.name} class="button" href={jobFile(done.id, one.name)} download={one.name}>
              {one.name} <span class="soft">{bytes(one.size)}</span>
            </a>
          ))}
          <Stamp job={done} />
        </span>
      )}
    </div>
  );
}
