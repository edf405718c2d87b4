// What can be made of a design, and what is ready: one line a paper.
import type { ComponentChildren } from "preact";
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
}

export const PAPERS: readonly Paper[] = [
  { kind: "report", name: "Report", about: "One page (HTML): plan, block, drawing, runs, proofs, parts list. It needs no other file." },
  { kind: "pdf", name: "Sheets (PDF)", about: "Drawings at scale, sheet by sheet, to be printed." },
  { kind: "dxf", name: "Drawing (DXF)", about: "For programs that draw: layers by kind of device." },
  { kind: "svg", name: "Drawing (SVG)", about: "For pages and papers, sharp at any size." },
  { kind: "png", name: "Picture (PNG)", about: "For slides and messages." },
  { kind: "tables", name: "Tables", about: "Plan, parts and readings as CSV, Parquet and XLSX." },
];

const TRACE: Paper = { kind: "trace", name: "Trace", about: "Every cell and station of a run, frame by frame, for programs." };

export function Papers() {
  return (
    <div class="scroll">
      <table aria-label="Papers" class="papers">
        <thead>
          <tr>
            <th scope="col">what</th>
            <th scope="col">
              <span class="unseen">make it</span>
            </th>
            <th scope="col">ready</th>
          </tr>
        </thead>
        <tbody>
          {PAPERS.map((paper) => (
            <PaperRow key={paper.kind} paper={paper} options={{}} />
          ))}
          <PaperRow paper={TRACE} options={chosenScenario()}>
            <ScenarioChoice />
          </PaperRow>
        </tbody>
      </table>
    </div>
  );
}

interface RowProps {
  readonly paper: Paper;
  readonly options: Record<string, unknown>;
  /** What is chosen before it is made. */
  readonly children?: ComponentChildren;
}

function PaperRow({ paper, options, children }: RowProps) {
  return (
    <tr>
      <th scope="row">
        {paper.name}
        <div class="soft">{paper.about}</div>
        {children}
      </th>
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
          {done.files
            .filter((one) => one.name !== PREVIEW)
            .map((one) => (
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

/** A still of a film. */
export const PREVIEW = "preview.png";
