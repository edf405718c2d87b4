// Where we are: `#/<stage>/<file>`.
import { computed, signal } from "@preact/signals";

export const STAGES = ["project", "plan", "block", "floor", "proof", "stress", "report"] as const;
export type Stage = (typeof STAGES)[number];

export interface Route {
  readonly stage: Stage | "start";
  readonly file: string;
}

function read(): Route {
  const [, stage = "", ...rest] = location.hash.slice(1).split("/");
  const file = decoded(rest.join("/"));
  const known = STAGES.find((one) => one === stage);
  return known && file ? { stage: known, file } : { stage: "start", file: "" };
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

/** The address of a stage of a file. */
export function address(to: Stage | "start", of: string = file.value): string {
  return to === "start" ? "#/" : `#/${to}/${encodeURIComponent(of)}`;
}

export function go(to: Stage | "start", of: string = file.value): void {
  location.hash = address(to, of);
}

window.addEventListener("hashchange", () => (route.value = read()));
