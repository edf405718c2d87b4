// A job in a line: how far it is, why it ended, and of which text it is.
import type { Finding, Job } from "../messages";
import { cancelJob } from "../state/jobs";
import type { JobKind } from "../state/jobs";
import { address, file } from "../state/route";
import { refused, stale } from "../state/work";
import { FindingList } from "./FindingList";

/** Progress with a button to stop it, or how the job ended if that was not well. */
export function WorkLine({ job }: { job: Job }) {
  if (job.state === "running" || job.state === "waiting") {
    const share = `${Math.round(job.done * 100)} %`;
    return (
      <span class="bar work">
        <progress max={1} value={job.done} aria-label={`${job.kind}: how far`} />
        <span class="share">{job.state === "waiting" ? "waits for its turn" : share}</span>
        <span class="soft said">{job.note}</span>
        <button onClick={() => void cancelJob(job.id)}>Stop</button>
      </span>
    );
  }
  if (job.state === "failed") {
    return (
      <>
        {stale(job) && <Stamp job={job} />}
        <Trouble sentence={job.error ?? "It failed."} findings={job.findings} />
      </>
    );
  }
  if (job.state === "cancelled") return <span class="warn">▲ Stopped; what was done is kept.</span>;
  if (job.state === "interrupted") return <span class="warn">▲ The studio ended before this was done.</span>;
  return null;
}

/** Which text a job is of, and when it was made. */
export function Stamp({ job }: { job: Job }) {
  const when = moment(new Date(job.made));
  return stale(job) ? (
    <span class="warn">▲ of an older text, {when}</span>
  ) : (
    <span class="soft">
      of this text, <time dateTime={job.made}>{when}</time>
    </span>
  );
}

/** Why a job of one of `kinds` was not begun, if one was asked for and refused. */
export function Refused({ kinds }: { kinds: readonly JobKind[] }) {
  const met = refused.value;
  if (!met || met.of !== file.value || !kinds.includes(met.kind)) return null;
  return <Trouble sentence={met.sentence} findings={met.findings} />;
}

/** What went wrong, and what was found. */
export function Trouble({ sentence, findings }: { sentence: string; findings: readonly Finding[] }) {
  return (
    <div class="note alarm" role="alert">
      <span class="alarm">✕ {sentence}</span>
      {findings.length > 0 && (
        <>
          <FindingList findings={findings} />
          <a href={address("project")}>Go to the Project page</a>
        </>
      )}
    </div>
  );
}

/** A time of day, with the date in front where that is not today. */
function moment(time: Date): string {
  const two = (figure: number) => String(figure).padStart(2, "0");
  const clock = `${two(time.getHours())}:${two(time.getMinutes())}`;
  if (time.toDateString() === new Date().toDateString()) return clock;
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())} ${clock}`;
}

/** Bytes for people. */
export function bytes(size: number): string {
  if (size < 1000) return `${size} B`;
  return size < 1e6 ? `${(size / 1e3).toFixed(size < 1e4 ? 1 : 0)} kB` : `${(size / 1e6).toFixed(1)} MB`;
}
