// Jobs of the open file: which is the newest, which text it is of, what it found.
import { computed, signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { Refusal } from "../api/http";
import type { Finding, Job } from "../messages";
import { checked, digest, sentence, text } from "./document";
import { jobResult, jobs, startJob } from "./jobs";
import type { JobKind } from "./jobs";
import { file } from "./route";

/** Jobs of `kind` for the open file, the newest first. */
export function jobsOf(kind: JobKind): Job[] {
  return jobs.value
    .filter((job) => job.kind === kind && job.file === file.value)
    .sort((a, b) => (a.made < b.made ? 1 : -1));
}

export function busy(job: Job | undefined): boolean {
  return job?.state === "running" || job?.state === "waiting";
}

/** Digest of the text as it is here; "" until it is known. */
const current = computed(() => (checked.value === text.value ? digest.value : ""));

/** Whether `job` is of an older text; false while that is not known. */
export function stale(job: Job): boolean {
  return current.value !== "" && job.digest !== current.value;
}

/** Results of jobs that have ended: they do not change any more. */
const kept = new Map<string, unknown>();
const MOST_KEPT = 12;

/** The document of `job`, read anew while the job goes on; null until there is one. */
export function useResult<Document>(job: Job | undefined): { result: Document | null; fault: string } {
  const id = job?.id ?? "";
  const live = busy(job);
  const [told, setTold] = useState<{ id: string; result: unknown; fault: string } | null>(null);
  useEffect(() => {
    if (!id || kept.has(id)) return;
    let over = false;
    jobResult(id).then(
      (answer) => {
        if (!busy(answer.job) && answer.result !== null) keep(id, answer.result);
        if (!over) setTold({ id, result: answer.result, fault: "" });
      },
      (refusal: unknown) => {
        if (!over) setTold((before) => ({ id, result: before?.id === id ? before.result : null, fault: sentence(refusal) }));
      },
    );
    return () => {
      over = true;
    };
  }, [id, live, job?.done]);
  if (kept.has(id)) return { result: kept.get(id) as Document, fault: "" };
  if (!told || told.id !== id) return { result: null, fault: "" };
  return { result: told.result as Document | null, fault: told.fault };
}

function keep(id: string, result: unknown): void {
  kept.set(id, result);
  const [oldest] = kept.keys();
  if (kept.size > MOST_KEPT && oldest !== undefined) kept.delete(oldest);
}

/** Why a job could not be begun. */
export interface Trouble {
  readonly kind: JobKind;
  readonly of: string;
  readonly sentence: string;
  readonly findings: readonly Finding[];
}

export const refused = signal<Trouble | null>(null);

/** Begin a job on the text as it is here; what speaks against it is in `refused`. */
export async function begin(kind: JobKind, options: Record<string, unknown> = {}): Promise<Job | null> {
  refused.value = null;
  try {
    return await startJob(kind, text.value, options);
  } catch (fault) {
    refused.value = {
      kind,
      of: file.value,
      sentence: sentence(fault),
      findings: fault instanceof Refusal ? fault.findings : [],
    };
    return null;
  }
}
