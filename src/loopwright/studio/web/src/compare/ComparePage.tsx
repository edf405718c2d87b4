// Which design is better? Each is placed, counted, proved and run.
import "./compare.css";
import { signal } from "@preact/signals";
import type { Job } from "../messages";
import { percent, shown } from "../parts/figure";
import { Part } from "../parts/Part";
import { Table } from "../parts/Table";
import type { Column } from "../parts/Table";
import { Unsound } from "../parts/Unsound";
import { bytes, Refused, Stamp, WorkLine } from "../parts/Work";
import { write, Written } from "../parts/Written";
import { Answer } from "../proof/Answer";
import { sound, text } from "../state/document";
import { jobFile } from "../state/jobs";
import { begin, busy, jobsOf, stale, useResult } from "../state/work";
import { MEASURES, share, words } from "./comparison";
import type { Comparison, Design, Figures, Measure } from "./comparison";
import { asked, count, Options } from "./Options";
import { Scatter } from "./Scatter";

/** The design that is looked at, and of which job. */
const chosen = signal<{ readonly job: string; readonly letter: string } | null>(null);
const [EFFORT, FLOOR] = MEASURES as [Measure, Measure];
const across = signal(EFFORT);
const up = signal(FLOOR);

export function ComparePage() {
  const jobs = jobsOf("compare");
  const [newest] = jobs;
  const job = jobs.find((one) => one.state !== "failed");
  const { result, fault } = useResult<Comparison>(job);
  const many = count();
  return (
    <div class="compare-page">
      <div class="page-head">
        <h1>Compare</h1>
        <span class="soft">Which design is better, and what does it stand?</span>
      </div>
      <div class="bar asked">
        <Options />
        <button class="main" disabled={!sound.value || busy(newest)} onClick={() => void begin("compare", { ...asked() })}>
          {job ? "Compare anew" : "Compare"}
        </button>
        <span class="soft">{many === null ? "every architecture beside what it is" : `${many} designs`}</span>
      </div>
      <Unsound old={job !== undefined} />
      <Refused kinds={["compare"]} />
      {newest && newest.state !== "done" && (
        <p>
          <WorkLine job={newest} />
        </p>
      )}
      {fault && <p class="note alarm">{fault}</p>}
      <Written />
      {!newest && sound.value && (
        <p class="empty">
          Nothing stands beside this design yet. <strong>Compare</strong> holds it against every other architecture, or,
          with keys that vary, tries all combinations of their values. Each design is placed, counted and proved, and run
          undisturbed, with late picks, and with each supply away for two minutes.
        </p>
      )}
      {job && result && <Found job={job} comparison={result} />}
    </div>
  );
}

function Found({ job, comparison }: { job: Job; comparison: Comparison }) {
  const { designs, variants, sentences } = comparison;
  const letter = chosen.value?.job === job.id ? chosen.value.letter : null;
  const choose = (one: string) => (chosen.value = { job: job.id, letter: one });
  const csv = job.files.find((one) => one.name.endsWith(".csv"));
  const built = designs.filter((one) => one.figures);
  const sign = designs.some((one) => one.sound) ? "good" : comparison.whole ? "warn" : "";
  return (
    <div class="parts">
      {sentences.length > 0 && (
        <div class={`sum note ${sign}`} role="status">
          {sentences.map((one) => (
            <p key={one}>{one}</p>
          ))}
        </div>
      )}
      <Part
        name="Designs"
        note={
          <>
            {designs.length} of {variants.length}, <Stamp job={job} />
          </>
        }
        tools={
          csv && (
            <a class="button" href={jobFile(job.id, csv.name)} download={csv.name}>
              Table (CSV) <span class="soft">{bytes(csv.size)}</span>
            </a>
          )
        }
      >
        <Table
          label="Designs"
          columns={COLUMNS}
          rows={designs}
          id={(one) => one.letter}
          {...(letter === null ? {} : { chosen: letter })}
          choose={(one) => choose(one.letter)}
          look={(one) => (one.figures ? "" : "idle")}
        />
        {designs.length === 0 && <p class="soft">The first design is at work.</p>}
      </Part>
      {built.length > 1 && (
        <Part name="What they take" tools={<Axes />}>
          <div class="taken">
            <Scatter designs={designs} x={across.value} y={up.value} chosen={letter} choose={choose} />
            <Told job={job} base={designs[0]} one={designs.find((design) => design.letter === letter)} />
          </div>
          <p class="soft">
            Filled: makes the rate to within 1 % and comes back from every outage. The broken line joins those of them
            that no other beats in both.
          </p>
        </Part>
      )}
    </div>
  );
}

/** A figure of a design; a dash where it cannot be built. */
function figure(name: string, of: (figures: Figures) => string | number, show: (value: string | number) => string): Column<Design> {
  return {
    name,
    cell: ({ figures }) => (figures ? show(of(figures)) : "–"),
    by: ({ figures }) => (figures ? of(figures) : ""),
    figure: true,
  };
}

const COLUMNS: readonly Column<Design>[] = [
  { name: "", cell: ({ letter, sound: good }) => <span class={`badge ${good ? "sound" : "short"}`}>{letter}</span> },
  {
    name: "design",
    cell: ({ told, refusal }) => (
      <>
        {told}
        {refusal && <span class="soft refusal">cannot be built: {refusal}</span>}
      </>
    ),
    by: ({ told }) => told,
  },
  figure("made", (one) => share(one.made, one), percent),
  figure("late picks", (one) => share(one.late, one), percent),
  {
    name: "after outage",
    cell: ({ figures }) =>
      !figures ? "–" : figures.jams.length > 0 ? <span class="alarm">✕ jams</span> : percent(share(figures.after, figures)),
    by: ({ figures }) => (figures ? share(figures.after, figures) : ""),
    figure: true,
  },
  { name: "cannot jam", cell: ({ figures }) => figures && <Answer outcome={figures.safe || null} /> },
  { name: "returns", cell: ({ figures }) => figures && <Answer outcome={figures.returns || null} /> },
  figure("pickers", (one) => one.price.pickers, shown),
  figure("belt cells", (one) => one.price.cells, shown),
  figure("floor", (one) => one.price.floor, shown),
  figure("effort", (one) => one.price.effort, shown),
  figure("kW", (one) => one.price.power, shown),
];

function Axes() {
  return (
    <>
      {[
        { name: "across", of: across },
        { name: "up", of: up },
      ].map(({ name, of }) => (
        <label key={name} class="choice">
          {name}
          <select
            value={of.value.name}
            onChange={(event) => (of.value = MEASURES.find((one) => one.name === event.currentTarget.value) ?? EFFORT)}
          >
            {MEASURES.map((one) => (
              <option key={one.name}>{one.name}</option>
            ))}
          </select>
        </label>
      ))}
    </>
  );
}

/** One design against the first: everything that differs. */
function Told({ job, base, one }: { job: Job; base: Design | undefined; one: Design | undefined }) {
  if (!one) {
    return (
      <div class="told">
        <p class="soft">Choose a design to see it against the first.</p>
      </div>
    );
  }
  const { figures } = one;
  return (
    <div class="told" aria-live="polite">
      <p>
        <span class={`badge ${one.sound ? "sound" : "short"}`}>{one.letter}</span> {one.told}
      </p>
      {!figures && <p class="soft">It cannot be built: {one.refusal}.</p>}
      {figures && (
        <table aria-label={`${one.letter} against ${base?.letter ?? ""}`}>
          <tbody>
            {MEASURES.map((measure) => (
              <tr key={measure.name}>
                <td>{words(measure)}</td>
                <td class="figure">{shown(measure.of(figures.price))}</td>
                <td class="figure soft">{against(measure, figures, one === base ? null : (base?.figures ?? null))}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {figures?.worst && (
        <p>
          {figures.jams.length > 0
            ? `After an outage of ${figures.jams.join(" or ")} a loop stands for good.`
            : `An outage of ${figures.worst} does most harm: ${percent(share(figures.after, figures))} of the plan long after.`}
        </p>
      )}
      {one.text !== null && one.text !== text.value && (
        <button disabled={!sound.value || stale(job)} onClick={() => write(one.told, one.text ?? "")}>
          Write it into the file
        </button>
      )}
    </div>
  );
}

function against(measure: Measure, now: Figures, before: Figures | null): string {
  if (!before) return "";
  const [value, old] = [measure.of(now.price), measure.of(before.price)];
  if (value === old || old === 0) return value === old ? "as before" : "";
  return `${value > old ? "+" : "−"}${percent(Math.abs(value / old - 1))}`;
}
