// What does the design stand? One bad thing after another, each in a run of its own.
import "./stress.css";
import { signal } from "@preact/signals";
import type { Job } from "../messages";
import { percent, valueOf } from "../parts/figure";
import { Part } from "../parts/Part";
import { Before, bytes, Refused, Stamp, WorkLine } from "../parts/Work";
import { sound } from "../state/document";
import { jobFile } from "../state/jobs";
import { playAddress } from "../state/route";
import { begin, busy, jobsOf, useResult } from "../state/work";
import { rowOf, told } from "./battery";
import type { Battery, Row } from "./battery";
import { GeneralTable, HeatTable, SHADES, SIGNS } from "./HeatTable";
import { asked, Options } from "./Options";

/** The case that is told in words, and of which job. */
const chosen = signal<{ readonly job: string; readonly number: number } | null>(null);

export function StressPage() {
  const jobs = jobsOf("stress");
  const [newest] = jobs;
  const job = jobs.find((one) => one.state !== "failed");
  const { result, fault } = useResult<Battery>(job);
  return (
    <>
      <div class="page-head">
        <h1>Stress</h1>
        <span class="soft">What does it stand, and does it come back?</span>
      </div>
      <div class="bar asked">
        <Options />
        <button class="main" disabled={!sound.value || busy(newest)} onClick={() => void begin("stress", asked())}>
          {job ? "Test anew" : "Test"}
        </button>
      </div>
      <Before work="A stress test" />
      <Refused kinds={["stress"]} />
      {newest && newest.state !== "done" && (
        <p>
          <WorkLine job={newest} />
        </p>
      )}
      {fault && <p class="note alarm">{fault}</p>}
      {!newest && sound.value && (
        <p class="empty">
          Nothing was done to this design yet. <strong>Test</strong> stops and cuts each supply in turn, begins the loops
          with a wrong mix, and measures in runs of the placed layout whether the rate comes back. Rows show as they are
          finished; it can be stopped at any time.
        </p>
      )}
      {job && result && <Found job={job} battery={result} />}
    </>
  );
}

function Found({ job, battery }: { job: Job; battery: Battery }) {
  const number = chosen.value?.job === job.id ? chosen.value.number : null;
  const choose = (one: number) => (chosen.value = { job: job.id, number: one });
  const table = { battery, live: busy(job), chosen: number, choose };
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
          <div>
            <HeatTable {...table} />
            <GeneralTable {...table} />
          </div>
          <Told job={job} battery={battery} number={number} />
        </div>
        <Legend />
      </Part>
    </div>
  );
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
  return battery.whole ? "good" : "";
}
