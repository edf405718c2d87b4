// A recovery card: the steps that bring a loop back, as they were carried out in a run.
import { percent, shown } from "../parts/figure";
import type { Recovered, Way } from "./verdicts";

export function Card({ recovered }: { recovered: Recovered }) {
  const { title, loops } = recovered;
  const [best, ...others] = recovered.ways;
  if (!best) return <p class="note warn">No card can be made for such a loop: nothing can be told to be missing.</p>;
  return (
    <section class="card" aria-label="Recovery card">
      <h3>
        How to bring back {title}: {best.card.way} <Works way={best} />
      </h3>
      <ol>
        {best.steps.map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <p class="soft">{result(best, loops.length)}</p>
      {others.map((way) => (
        <details key={way.card.way}>
          <summary>
            Else {way.card.way} <Works way={way} />
          </summary>
          <ol>
            {way.steps.map((step) => (
              <li key={step}>{step}</li>
            ))}
          </ol>
          <p class="soft">{result(way, loops.length)}</p>
        </details>
      ))}
    </section>
  );
}

function Works({ way }: { way: Way }) {
  return way.works ? (
    <span class="answer proved">✓ works in the run</span>
  ) : (
    <span class="answer refuted">✕ does not last in the run</span>
  );
}

/** What is predicted, and what the run gave. */
function result(way: Way, loops: number): string {
  const time = way.time === null ? "full rate was not reached" : `full rate after ${shown(way.time)} s`;
  return (
    `Predicted: full rate after ${shown(way.card.predicted)} s; with one carrier taken off, which is enough, ` +
    `${shown(way.card.slowest)} s. In the run${loops > 1 ? ` of all ${loops} loops` : ""}: ${time}, ` +
    `${percent(way.share)} of it long after; undisturbed, the gate makes ${percent(way.standard)}.`
  );
}
