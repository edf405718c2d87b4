// The title block: what is open, in which state it is, what runs.
import type { ComponentChildren } from "preact";
import { changed, conflict, errors, loaded, ready, saved, saving, trouble, warnings } from "../state/document";
import { cancelJob, running } from "../state/jobs";
import { address, file } from "../state/route";

export function TitleBlock() {
  const job = running.value[0];
  return (
    <footer class="title-block" aria-label="Title block">
      <Field name="project">{file.value || "none open"}</Field>
      {file.value && (
        <>
          <Field name="file">{fileState()}</Field>
          <Field name="findings">{findingsState()}</Field>
          <Field name="revision">
            <code>{saved.value && ready.value ? short(saved.value.digest) : "–"}</code>
          </Field>
        </>
      )}
      <Field name={trouble.value ? "trouble" : "work"} wide>
        {trouble.value ? (
          <span class="alarm" role="alert">
            {trouble.value}
          </span>
        ) : job ? (
          <span class="bar">
            {job.kind} of {job.file}
            <progress max={1} value={job.done} aria-label={`${job.kind}: how far`} />
            {Math.round(job.done * 100)} %
            <button onClick={() => void cancelJob(job.id)}>Stop</button>
            {running.value.length > 1 && <span class="soft">and {running.value.length - 1} more</span>}
          </span>
        ) : (
          <span class="soft">none</span>
        )}
      </Field>
    </footer>
  );
}

function Field({ name, wide, children }: { name: string; wide?: boolean; children: ComponentChildren }) {
  return (
    <div class={wide ? "wide" : ""}>
      <dl>
        <dt>{name}</dt>
        <dd>{children}</dd>
      </dl>
    </div>
  );
}

function fileState() {
  if (loaded.value !== file.value) return "reading";
  if (conflict.value) {
    return (
      <a class="alarm" href={address("project")}>
        two texts
      </a>
    );
  }
  if (saving.value) return "saving";
  return changed.value ? "changed" : "saved";
}

function findingsState() {
  if (errors.value) return <span class="alarm">{several(errors.value, "error")}</span>;
  if (warnings.value) return <span class="warn">{several(warnings.value, "warning")}</span>;
  return <span>none</span>;
}

function several(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}

function short(digest: string): string {
  return digest.replace("sha256:", "").slice(0, 8);
}
