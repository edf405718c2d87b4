// One question about a loop: the answer, why, and every line of the proof.
import type { Job } from "../messages";
import { percent, shown } from "../parts/figure";
import { playAddress } from "../state/route";
import { Answer } from "./Answer";
import { Line } from "./Line";
import type { Measured, Verdict } from "./verdicts";

interface Props {
  readonly verdict: Verdict;
  readonly job: Job;
  /** The other question, where that stands before this: what it tells is not told again. */
  readonly before: Verdict | undefined;
}

export function Question({ verdict, job, before }: Props) {
  const { claim, jam, outcome } = verdict;
  const remedies = verdict.remedies.filter((line) => !before?.remedies.includes(line));
  return (
    <section class={`question ${outcome}`} aria-label={verdict.question}>
      <h3>
        <span class="asked">{verdict.question}</span>
        <Answer outcome={outcome} />
      </h3>
      <table aria-label={`${verdict.question}: what decides it`}>
        <tbody>
          {verdict.because.map((line) => (
            <Line key={line} text={line} />
          ))}
        </tbody>
      </table>
      {jam && jam.sentence !== before?.jam?.sentence && (
        <div class="note alarm">
          <p>{sentenceCase(jam.sentence)}.</p>
          <a class="button" href={playAddress(job.id, verdict.loop)}>
            Play the jam on the floor
          </a>
        </div>
      )}
      {verdict.shortfall && (
        <p>
          <a class="button" href={playAddress(job.id, verdict.loop)}>
            See the run that falls short on the floor
          </a>
        </p>
      )}
      <Runs runs={verdict.shortfall ? [verdict.shortfall, ...verdict.runs] : verdict.runs} />
      {outcome !== "proved" && remedies.length > 0 && (
        <>
          <h4>What to change, the best first</h4>
          <ol class="remedies">
            {remedies.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ol>
        </>
      )}
      {claim && (
        <details>
          <summary>
            Proof by theorem {claim.theorem}: {claim.reasons.length} lines, given {claim.given.join(", ")}
          </summary>
          <table class="proof" aria-label={`${verdict.question}: proof`}>
            <tbody>
              {claim.reasons.map((reason, at) => (
                <Line key={at} topic={reason.topic} text={reason.text} />
              ))}
            </tbody>
          </table>
        </details>
      )}
    </section>
  );
}

function Runs({ runs }: { runs: readonly Measured[] }) {
  if (runs.length === 0) return null;
  return (
    <table class="runs" aria-label="Measured in runs">
      <thead>
        <tr>
          <th scope="col">measured in runs</th>
          <th scope="col" class="figure">
            share of full rate in the end
          </th>
        </tr>
      </thead>
      <tbody>
        {runs.map((run, at) => (
          <tr key={at}>
            <td>
              {run.missing
                ? `after ${shown(run.span)} s without ${run.missing}`
                : `undisturbed from ${run.scenario.start}`}
            </td>
            <td class="figure">
              {percent(run.share)}
              {!run.lasting && <span class="soft"> still rising</span>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function sentenceCase(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
