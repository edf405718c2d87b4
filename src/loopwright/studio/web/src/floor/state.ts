// What the page knows of the floor: the layout, what is chosen on it, what is being changed.
import { batch, computed, effect, signal } from "@preact/signals";
import { ask, Refusal } from "../api/http";
import type { Finding, FloorAnswer, Move, Rule } from "../messages";
import { loaded, sentence, text } from "../state/document";
import { go, query } from "../state/route";
import { begin, end, follow, order, pause, status, wake } from "./live";
import { siteOf } from "./site";
import type { Box, Site } from "./site";

export const site = signal<Site | null>(null);
export const findings = signal<readonly Finding[]>([]);
export const reading = signal(false);
export const trouble = signal("");
export const scenario = signal<string | null>(null);
export const seed = signal<number | null>(null);

/** The device whose readings are shown. */
export const chosen = signal<string | null>(null);
/** Belts that are pointed out. */
export const pointed = signal<readonly string[]>([]);
/** What the window is to be brought to; the board sets it back. */
export const wanted = signal<{ box: Box; most: number } | null>(null);

export const editing = signal(false);
/** Moves and rules that are not kept yet. */
export const moves = signal<readonly Move[]>([]);
export const rules = signal<readonly Rule[]>([]);
/** Whether the run on the page is of an older floor than the one that is kept. */
export const stale = signal(false);

export const chosenPlace = computed(() => (chosen.value ? site.value?.places.get(chosen.value) ?? null : null));

/** The text that `site` is of. */
let of = "";
let turn = 0;

/** Read the floor of the open file, and begin a run on it. */
export async function read(): Promise<void> {
  const [file, now] = [loaded.value, text.value];
  const mine = (turn += 1);
  batch(() => {
    reading.value = true;
    trouble.value = "";
  });
  try {
    const told = await ask<FloorAnswer>("POST", "/api/floor", { file, text: now });
    if (mine === turn) take(told, now);
  } catch (fault) {
    if (mine === turn) trouble.value = sentence(fault);
  } finally {
    if (mine === turn) reading.value = false;
  }
}

function take(told: FloorAnswer, now: string): void {
  of = now;
  const same = site.value?.floor.title === told.floor?.title;
  batch(() => {
    findings.value = told.findings;
    site.value = told.floor && siteOf(told.floor);
    if (!same) chosen.value = null;
    pointed.value = [];
    moves.value = [];
    rules.value = [];
    stale.value = false;
    const names = told.floor?.scenarios ?? [];
    if (scenario.value && !names.includes(scenario.value)) scenario.value = null;
  });
  start();
}

/** Begin the run anew. */
export function start(): void {
  stale.value = false;
  if (!site.value) return;
  const play = query.value.get("play");
  const more = play ? { play } : { scenario: scenario.value, seed: seed.value };
  begin(site.value, { type: "open", file: loaded.value, text: of, ...more });
}

/** Begin a run of the scenario and seed that are chosen; no longer the run of a job. */
export function startChosen(): void {
  if (query.value.get("play")) {
    wake();
    go("floor");
  } else start();
}

export function leave(): void {
  end();
  turn += 1;
  batch(() => {
    site.value = null;
    chosen.value = null;
    editing.value = false;
  });
}

/** Try the floor with all changes; what has no errors is kept. */
export async function change(more: { moves?: readonly Move[]; rules?: readonly Rule[] }): Promise<void> {
  const asked = {
    moves: merged(moves.value, more.moves ?? []),
    rules: merged(rules.value, more.rules ?? []),
  };
  pause();
  reading.value = true;
  try {
    const told = await ask<FloorAnswer>("POST", "/api/floor/edit", { file: loaded.value, text: of, ...asked });
    batch(() => {
      if (told.floor) site.value = siteOf(told.floor);
      findings.value = told.findings;
      moves.value = told.kept ? [] : asked.moves;
      rules.value = told.kept ? [] : asked.rules;
      stale.value = stale.value || told.kept;
      trouble.value = "";
    });
  } catch (fault) {
    trouble.value = fault instanceof Refusal ? fault.message : sentence(fault);
  } finally {
    reading.value = false;
  }
}

function merged<T extends { readonly name: string }>(old: readonly T[], more: readonly T[]): readonly T[] {
  const names = new Set(more.map((one) => one.name));
  return [...old.filter((one) => !names.has(one.name)), ...more];
}

/** Forget what is not kept. */
export function discard(): Promise<void> {
  return read();
}

/** Forget the layout that was edited by hand, and place anew. */
export async function forget(): Promise<void> {
  await ask("DELETE", `/api/floor/${encodeURIComponent(loaded.value)}`);
  await read();
}

export function choose(name: string | null): void {
  chosen.value = name;
}

/** Bring the window to a device or row. */
export function show(name: string): void {
  const place = site.value?.places.get(name);
  if (!place) return;
  const [x, y, width, height] = place.box;
  const rim = Math.max(4, Math.min(12, width / 8));
  wanted.value = { box: [x - rim, y - rim, width + 2 * rim, height + 2 * rim], most: 28 };
}

export function fit(): void {
  if (site.value) wanted.value = { box: site.value.bounds, most: 40 };
}

/** Stop the supply of docks or materials, or let it go on. */
export function supply(names: readonly string[], on: boolean): void {
  order({ type: "supply", names: [...names], on });
}

/** Docks of the material `name`, and whether all of them are stopped. */
export function docksOf(name: string): { readonly names: readonly string[]; readonly off: boolean } {
  const names = site.value?.floor.sources.filter((one) => one.material === name).map((one) => one.name) ?? [];
  const off = new Set(status.value?.off ?? []);
  return { names, off: names.length > 0 && names.every((one) => off.has(one)) };
}

effect(() => {
  const place = chosenPlace.value;
  follow(place && place.kind !== "power node" ? place.name : null);
});
