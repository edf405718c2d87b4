// Changes that were tried: what each proves, what it costs, and a button that writes it down.
import type { Job } from "../messages";
import { percent, shown, valueOf } from "../parts/figure";
import { Part } from "../parts/Part";
import { Stamp, WorkLine } from "../parts/Work";
import { write, Written } from "../parts/Written";
import { sound } from "../state/document";
import { begin, stale, useResult } from "../state/work";
import { Answer } from "./Answer";
import { worst } from "./verdicts";
import type { Price, Remedies, Tried } from "./verdicts";

const FIGURES: readonly { readonly name: string; readonly of: (price: Price) => string | number }[] = [
  { name: "rows", of: (price) => price.rows },
  { name: "stations", of: (price) => price.stations },
  { name: "pickers", of: (price) => price.pickers },
  { name: "gates", of: (price) => price.gates },
  { name: "belt cells", of: (price) => price.cells },
  { name: "bridges", of: (price) => price.bridges },
  { name: "floor cells", of: (price) => price.floor },
  { name: "effort", of: (price) => price.effort },
  { name: "kW", of: (price) => price.power },
];

const RATES: readonly { readonly name: string; readonly of: (one: Tried, price: Price) => string }[] = [
  { name: "rate", of: (_, price) => price.rate },
  { name: "from empty", of: (one) => one.started },
  { name: "late picks", of: (one) => one.late },
];

export function RemedyPart({ job }: { job: Job }) {
  const { result, fault } = useResult<Remedies>(job);
  const tried = result?.tried ?? [];
  const [before] = tried;
  const best = tried.findIndex((one) => one.green);
  return (
    <Part name="Remedies" note="tried in order of preference, each designed, proved and priced" tools={<Stamp job={job} />}>
      <WorkLine job={job} />
      {fault && <p class="note alarm">{fault}</p>}
      <Written>
        <button disabled={!sound.value} onClick={() => void begin("prove")}>
          Prove the changed file
        </button>
      </Written>
      {before && (
        <div class="scroll">
          <table aria-label="Remedies" class="tried">
            <thead>
              <tr>
                <th scope="col">what to change</th>
                <th scope="col">
                  <span class="unseen">write it into the file</span>
                </th>
                <th scope="col">cannot jam</th>
                <th scope="col">returns by itself</th>
                {RATES.map((rate) => (
                  <th key={rate.name} scope="col" class="figure">
                    {rate.name}
                  </th>
                ))}
                {FIGURES.map((one) => (
                  <th key={one.name} scope="col" class="figure">
                    {one.name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {tried.map((one, at) => (
                <Row key={one.told} one={one} before={before} best={at === best} first={at === 0} job={job} />
              ))}
            </tbody>
          </table>
        </div>
      )}
      <Advice advice={result?.advice ?? []} />
      {job.state === "done" && best < 0 && <p class="note warn">None of these makes every loop safe.</p>}
      {best === 0 && <p class="note good">Both is proved of every loop as it is; nothing has to be changed.</p>}
    </Part>
  );
}

function Advice({ advice }: { advice: readonly string[] }) {
  if (advice.length === 0) return null;
  return (
    <>
      <h3>Would help too, but cannot be said in the file</h3>
      <ul class="advice">
        {advice.map((told) => (
          <li key={told}>{told}</li>
        ))}
      </ul>
    </>
  );
}

interface RowProps {
  readonly one: Tried;
  readonly before: Tried;
  readonly best: boolean;
  readonly first: boolean;
  readonly job: Job;
}

function Row({ one, before, best, first, job }: RowProps) {
  const { price } = one;
  const name = (
    <th scope="row">
      <code>{one.told}</code>
      {best && !first && <span class="answer proved best"> the first that helps</span>}
      {one.why && <p class="why soft">{one.why}</p>}
    </th>
  );
  if (!price) {
    return (
      <tr>
        {name}
        <td colSpan={FIGURES.length + RATES.length + 3} class="soft">
          cannot be built: {one.refusal}
        </td>
      </tr>
    );
  }
  return (
    <tr class={best ? "best" : ""}>
      {name}
      <td>
        {!first && one.text !== null && (
          <button disabled={!sound.value || stale(job)} onClick={() => write(one.told, one.text ?? "")}>
            Apply
          </button>
        )}
        {!first && one.text === null && <span class="soft">{one.unwritten}</span>}
      </td>
      <td>
        <Answer outcome={worst(one.outcomes.map(([safe]) => safe))} />
      </td>
      <td>
        <Answer outcome={worst(one.outcomes.map(([, back]) => back))} />
      </td>
      {RATES.map((rate) => (
        <td key={rate.name} class="figure">
          {percent(rate.of(one, price))}
        </td>
      ))}
      {FIGURES.map((figure) => (
        <td key={figure.name} class="figure">
          {shown(figure.of(price))}
          {!first && before.price && <Difference now={figure.of(price)} before={figure.of(before.price)} />}
        </td>
      ))}
    </tr>
  );
}

function Difference({ now, before }: { now: string | number; before: string | number }) {
  const more = (valueOf(now) ?? 0) - (valueOf(before) ?? 0);
  if (more === 0) return null;
  return <span class="soft"> ({more > 0 ? "+" : "−"}{shown(Math.abs(more))})</span>;
}
