// What does the design stand? One bad thing after another, each in a run of its own.
import "./stress.css";
import { signal, useSignalEffect } from "@preact/signals";
import type { Cases, Job } from "../messages";
import { percent, valueOf } from "../parts/figure";
import { Part } from "../parts/Part";
import { Unsound } from "../parts/Unsound";
import { bytes, Refused, Stamp, Trouble, WorkLine } from "../parts/Work";
import { checked, loaded, sound } from "../state/document";
import { jobFile } from "../state/jobs";
import { Latest } from "../state/latest";
import { file, playAddress } from "../state/route";
import { begin, busy, jobsOf, useResult } from "../state/work";
import { fate, rowOf, told } from "./battery";
import type { Battery, Row } from "./battery";
import { GeneralTable, HeatTable, SHADES, SIGNS } from "./HeatTable";
import { asked, Options } from "./Options";

/** The case that is told in words, and of which job. */
const chosen = signal<{ readonly job: string; readonly number: number } | null>(null);

/** Kinds that do not end when they are looked at on the floor: a scenario has no end of them. */
const LASTING = ["missed picks", "uneven cycles"];

/** What a test would try now. */
const coming = new Latest<Cases>("/api/cases");

export function StressPage() {
  const jobs = jobsOf("stress");
  const [newest] = jobs;
  const job = jobs.find((one) => one.state !== "failed");
  const { result, fault } = useResult<Battery>(job);
  useSignalEffect(() => {
    if (sound.value) coming.ask(loaded.value, { text: checked.value, options: asked() });
  });
  const cases = coming.of.value === file.value ? (coming.answer.value?.cases ?? []) : [];
  return (
    <div class="stress-page">
      <div class="page-head">
        <h1>Stress</h1>
        <span class="soft">What does it stand, and does it come back?</span>
      </div>
      <div class="bar asked">
        <Options />
        <button class="main" disabled={!sound.value || busy(newest)} onClick={() => void begin("stress", { ...asked() })}>
          {job ? "Test anew" : "Test"}
        </button>
        <span class="soft">{outlook(cases.length, job, result)}</span>
      </div>
      <Unsound old={job !== undefined} />
      <Refused kinds={["stress"]} />
      {newest && newest.state !== "done" && (
        <p>
          <WorkLine job={newest} />
        </p>
      )}
      {fault && <p class="note alarm">{fault}</p>}
      {coming.fault.value && <Trouble sentence={coming.fault.value} findings={coming.findings.value} />}
      {!newest && sound.value && (
        <p class="empty">
          Nothing was done to this design yet. <strong>Test</strong> stops and cuts each supply in turn, begins the loops
          with a wrong mix, and measures in runs of the placed layout whether the rate comes back. Rows show as they are
          finished; it can be stopped at any time.
        </p>
      )}
      {!newest && cases.length > 0 && (
        <Part name="Rate long after" note={`${cases.length} runs to come`}>
          <Tables battery={{ cases, rows: [], whole: false, standard: "1", sentences: [] }} />
          <Legend />
        </Part>
      )}
      {job && result && <Found job={job} battery={result} />}
    </div>
  );
}

function Found({ job, battery }: { job: Job; battery: Battery }) {
  const number = chosen.value?.job === job.id ? chosen.value.number : null;
  const choose = (one: number) => (chosen.value = { job: job.id, number: one });
  const csv = job.files.find((one) => one.name.endsWith(".csv"));
  const gate = job.options.gate ? `, with the gate ${String(job.options.gate)} in place of the file's` : "";
  return (
    <div class="parts">
      <div class={`sum note ${verdict(battery)}`} role="status">
        {battery.sentences.map((one) => (
          <p key={one}>{one}</p>
        ))}
        {battery.sentences.length === 0 && <p>The first run is at work.</p>}
      </div>
      <Part
        name="Rate long after"
        note={
          <>
            {battery.rows.length} of {battery.cases.length} runs, <Stamp job={job} />
            {gate}
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
        <div class="battery">
          <Tables battery={battery} live={busy(job)} chosen={number} choose={choose} />
          <Told job={job} battery={battery} number={number} />
        </div>
        <Legend />
      </Part>
    </div>
  );
}

interface TablesProps {
  readonly battery: Battery;
  readonly live?: boolean;
  readonly chosen?: number | null;
  readonly choose?: (number: number) => void;
}

function Tables({ battery, live = false, chosen = null, choose = () => undefined }: TablesProps) {
  const table = { battery, live, chosen, choose };
  return (
    <div>
      <HeatTable {...table} />
      <GeneralTable {...table} />
    </div>
  );
}

/** How much is to be done, and how long it took for as much the last time, waiting left out. */
function outlook(count: number, job: Job | undefined, last: Battery | null): string {
  if (count === 0) return "";
  if (!job?.ended || !job.begun || job.state === "interrupted" || !last?.rows.length) return `${count} runs`;
  const each = (Date.parse(job.ended) - Date.parse(job.begun)) / 1000 / last.rows.length;
  return `${count} runs, about ${about(count * each)} at the pace of the last`;
}

function about(seconds: number): string {
  return seconds < 90 ? `${Math.max(1, Math.round(seconds))} s` : `${Math.round(seconds / 60)} min`;
}

function Told({ job, battery, number }: { job: Job; battery: Battery; number: number | null }) {
  const row = number === null ? undefined : rowOf(battery, number);
  return (
    <div class="told" aria-live="polite">
      {row ? (
        <>
          <p>{told(row)}</p>
          <Rates row={row} standard={battery.standard} />
          <a class="button" href={playAddress(job.id, String(number))}>
            See it on the floor
          </a>
          {LASTING.includes(row.case.kind) && <p class="soft">On the floor it goes on to the end.</p>}
        </>
      ) : (
        <p class="soft">Choose a cell to be told what happened.</p>
      )}
    </div>
  );
}

/** The rates of a case one below the other, as bars. */
function Rates({ row, standard }: { row: Row; standard: string }) {
  const rates = [
    { name: "undisturbed", share: standard },
    { name: "while it lasts", share: row.during },
    { name: "long after", share: row.after },
  ];
  return (
    <table aria-label="Rates of this case">
      <tbody>
        {rates.map(({ name, share }) => (
          <tr key={name}>
            <td>{name}</td>
            <td>
              <svg class="against" width={160} height={11} aria-hidden="true">
                <path class="base" d="M0.5 10.5H160" />
                <rect class="value" x={0.5} y={2} width={150 * Math.min(1.05, valueOf(share) ?? 0)} height={8.5} />
                <path class="limit" d="M150.5 0V11" />
              </svg>
            </td>
            <td class="figure">{percent(share)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Legend() {
  return (
    <dl class="legend" aria-label="Legend">
      <div>
        <dt>share of what all stations can make</dt>
        <dd>
          {SHADES.map((least, at) => (
            <span key={least} class={`swatch shade${at}`}>
              {at === SHADES.length - 1 ? "below" : `${least * 100} % +`}
            </span>
          ))}
        </dd>
      </div>
      {Object.values(SIGNS).map(({ sign, word }) => (
        <div key={sign}>
          <dt>{sign}</dt>
          <dd>{word}</dd>
        </div>
      ))}
    </dl>
  );
}

function verdict(battery: Battery): string {
  if (battery.rows.some((row) => row.jams.length > 0)) return "alarm";
  if (battery.rows.some((row) => fate(row, battery) === "loses")) return "warn";
  return battery.whole ? "good" : "";
}
