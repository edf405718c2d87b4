// Where we are: `#/<stage>/<file>?<what to begin with>`.
import { computed, signal } from "@preact/signals";

export const STAGES = ["project", "plan", "block", "floor", "proof", "stress", "compare", "report"] as const;
export type Stage = (typeof STAGES)[number];

export interface Route {
  readonly stage: Stage | "start";
  readonly file: string;
  readonly query: string;
}

function read(): Route {
  const [way = "", query = ""] = location.hash.slice(1).split("?");
  const [, stage = "", ...rest] = way.split("/");
  const file = decoded(rest.join("/"));
  const known = STAGES.find((one) => one === stage);
  return known && file ? { stage: known, file, query } : { stage: "start", file: "", query: "" };
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return "";
  }
}

export const route = signal<Route>(read());
export const stage = computed(() => route.value.stage);
export const file = computed(() => route.value.file);
/** What a page is to begin with, such as `play`: the run of a job that the floor shows. */
export const query = computed(() => new URLSearchParams(route.value.query));

/** The address of a stage of a file. */
export function address(to: Stage | "start", of: string = file.value): string {
  return to === "start" ? "#/" : `#/${to}/${encodeURIComponent(of)}`;
}

export function go(to: Stage | "start", of: string = file.value): void {
  location.hash = address(to, of);
}

/** The floor, on the run of a job that shows what becomes of `item`: a loop, or the number of a case. */
export function playAddress(job: string, item: string): string {
  return `${address("floor")}?play=${encodeURIComponent(`${job}:${item}`)}`;
}

window.addEventListener("hashchange", () => (route.value = read()));
