// Long work on the server: what runs, how far it is, what it gave.
import { computed, signal } from "@preact/signals";
import { ask } from "../api/http";
import { Socket } from "../api/socket";
import type { Job, JobResult, StudioEvent } from "../messages";
import { changedElsewhere } from "./document";
import { file } from "./route";

export type JobKind = Job["kind"];

export const jobs = signal<readonly Job[]>([]);
/** Whether the server answers. */
export const present = signal(true);

export const running = computed(() =>
  jobs.value.filter((job) => job.state === "running" || job.state === "waiting"),
);

/** The newest job of `kind` for the open file. */
export function latest(kind: JobKind): Job | undefined {
  return jobs.value
    .filter((job) => job.kind === kind && job.file === file.value)
    .reduce<Job | undefined>((best, job) => (best && best.made > job.made ? best : job), undefined);
}

export async function startJob(
  kind: JobKind,
  text: string,
  options: Record<string, unknown> = {},
): Promise<Job> {
  const job = await ask<Job>("POST", "/api/jobs", { kind, file: file.value, text, options });
  take(job.id, job);
  return job;
}

export async function cancelJob(id: string): Promise<void> {
  await ask("DELETE", `/api/jobs/${id}`);
}

export function jobResult(id: string): Promise<JobResult> {
  return ask<JobResult>("GET", `/api/jobs/${id}`);
}

export function jobFile(id: string, name: string): string {
  return `/api/jobs/${id}/files/${encodeURIComponent(name)}`;
}

async function refresh(): Promise<void> {
  jobs.value = await ask<Job[]>("GET", "/api/jobs");
}

function take(id: string, job: Job | null): void {
  const others = jobs.value.filter((one) => one.id !== id);
  jobs.value = job ? [...others, job] : others;
}

/** Follow the server's news. */
export function listen(): void {
  new Socket("/api/events", {
    open: () => {
      present.value = true;
      refresh().catch(() => undefined); // away again; the next opening asks anew
    },
    away: () => (present.value = false),
    message: (told) => {
      const news = told as StudioEvent;
      if ("id" in news) take(news.id, news.job);
      else changedElsewhere(news.file, news.digest);
    },
  });
}
