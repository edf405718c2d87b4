// Can a loop ever jam, does it come back by itself? Answers with their proofs, jams and remedies.
import "./proof.css";
import { signal } from "@preact/signals";
import type { Job } from "../messages";
import { GateChoice } from "../parts/GateChoice";
import { Unsound } from "../parts/Unsound";
import { bytes, Refused, Stamp, WorkLine } from "../parts/Work";
import { sound } from "../state/document";
import { jobFile } from "../state/jobs";
import { begin, busy, jobsOf, useResult } from "../state/work";
import { Answer } from "./Answer";
import { LoopPart } from "./LoopPart";
import { RemedyPart } from "./RemedyPart";
import { grouped, tally } from "./verdicts";
import type { Recovery, Verdicts } from "./verdicts";

const gate = signal("");

export function ProofPage() {
  const jobs = jobsOf("prove");
  const [newest] = jobs;
  const job = jobs.find((one) => one.state === "done");
  const { result, fault } = useResult<Verdicts>(job);
  const [recovery] = job ? jobsOf("recover").filter((one) => of(one, job)) : [];
  const cards = useResult<Recovery>(recovery).result;
  const [remedy] = jobsOf("remedy");
  const groups = grouped(result?.verdicts ?? []);
  const open = result?.verdicts.some((one) => one.outcome !== "proved") ?? false;
  const jammed = result?.verdicts.some((one) => one.jam) ?? false;
  const options = job?.options ?? {};
  return (
    <div class="proof-page">
      <div class="page-head">
        <h1>Proof</h1>
        <span class="soft">Can a loop ever jam? Does it return to full rate by itself?</span>
        <span class="far bar">
          <GateChoice gate={gate.value} choose={(one) => (gate.value = one)} />
          <button
            class="main"
            disabled={!sound.value || busy(newest)}
            onClick={() => void begin("prove", gate.value ? { gate: gate.value } : {})}
          >
            {job ? "Prove anew" : "Prove"}
          </button>
        </span>
      </div>
      <Unsound old={job !== undefined} />
      <Refused kinds={["prove", "recover", "remedy"]} />
      {newest && <WorkLine job={newest} />}
      {fault && <p class="note alarm">{fault}</p>}
      {!newest && sound.value && (
        <p class="empty">
          Nothing is proved of this file yet. <strong>Prove</strong> looks at every closed loop of the placed layout and
          gives two verdicts on each, with the inequality that decides it and the numbers in it. What is refuted is shown
          by a run.
        </p>
      )}
      {job && result && (
        <>
          <Summary job={job} result={result} />
          {groups.length === 0 && <p class="empty">There are no loops in this design: nothing can close on itself.</p>}
          {(open || remedy) && (
            <p class="bar actions">
              {jammed && (
                <button disabled={!sound.value || busy(recovery)} onClick={() => void begin("recover", options)}>
                  {recovery ? "Bring back anew" : "How to bring it back"}
                </button>
              )}
              <button disabled={!sound.value || busy(remedy)} onClick={() => void begin("remedy")}>
                {remedy ? "Find remedies anew" : "Find remedies"}
              </button>
              {recovery && <WorkLine job={recovery} />}
            </p>
          )}
          <div class="parts">
            {remedy && <RemedyPart job={remedy} />}
            {groups.map((group) => (
              <LoopPart
                key={group.loops[0]}
                group={group}
                job={job}
                assumptions={result.assumptions}
                laws={result.laws.find((one) => group.loops.includes(one.loop))}
                recovered={cards?.groups.filter((one) => one.loops.some((name) => group.loops.includes(name)))}
              />
            ))}
          </div>
        </>
      )}
    </div>
  );
}

/** Whether a job is about the same design as `job`. */
function of(one: Job, job: Job): boolean {
  return one.digest === job.digest && (one.options.gate ?? "") === (job.options.gate ?? "");
}

/** All loops in a line, and the certificate. */
function Summary({ job, result }: { job: Job; result: Verdicts }) {
  const questions = [...new Set(result.verdicts.map((one) => one.question))];
  const loops = new Set(result.verdicts.map((one) => one.loop)).size;
  const tried = job.options.gate ? `with the gate ${String(job.options.gate)} in place of the file's` : "";
  const proof = job.files.find((one) => one.name.endsWith(".txt"));
  return (
    <div class="summary">
      <dl>
        <div>
          <dt>loops</dt>
          <dd>{loops}</dd>
        </div>
        {questions.map((question) => (
          <div key={question}>
            <dt>{question}</dt>
            <dd>
              {tally(result.verdicts, question).map(([outcome, count]) => (
                <Answer key={outcome} outcome={outcome} count={count} />
              ))}
            </dd>
          </div>
        ))}
        <div>
          <dt>result</dt>
          <dd>
            <Stamp job={job} /> {tried && <span class="warn">{tried}</span>}
          </dd>
        </div>
      </dl>
      {proof && (
        <a class="button" href={jobFile(job.id, proof.name)} download={proof.name}>
          Save the certificate <span class="soft">{bytes(proof.size)}</span>
        </a>
      )}
    </div>
  );
}
