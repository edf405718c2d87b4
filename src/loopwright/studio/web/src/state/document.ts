// The project file that is open: its text here, its text on disk, and what is found in it.
import { batch, computed, effect, signal } from "@preact/signals";
import { ask, filePath, Refusal } from "../api/http";
import type { Checked, Conflict, Finding, Saved, Text } from "../messages";
import { file } from "./route";

/** Time without a key pressed after which the text is checked, and saved [ms]. */
const CHECK_AFTER = 150;
const SAVE_AFTER = 700;

/** The text as it is here. */
export const text = signal("");
/** Which file `text` is of; "" until it is read. */
export const loaded = signal("");
/** The text that is on disk as far as known, and its digest. */
export const saved = signal<Text | null>(null);
export const findings = signal<readonly Finding[]>([]);
/** The text that `findings` are about. */
export const checked = signal("");
/** Digest of `checked`, by which a job knows its text. */
export const digest = signal("");
export const conflict = signal<Conflict | null>(null);
export const trouble = signal("");
export const saving = signal(false);

export const ready = computed(() => loaded.value !== "" && loaded.value === file.value);
export const errors = computed(() => findings.value.filter((one) => one.severity === "error").length);
export const warnings = computed(() => findings.value.length - errors.value);
export const changed = computed(() => saved.value !== null && saved.value.text !== text.value);
/** Whether later stages may be asked: the text is read, checked and without errors. */
export const sound = computed(() => ready.value && checked.value === text.value && errors.value === 0);

/** Read `name` from the server. */
export async function load(name: string): Promise<void> {
  try {
    const told = await ask<Text>("GET", filePath(name));
    if (file.value !== name) return;
    batch(() => {
      saved.value = told;
      text.value = told.text;
      loaded.value = name;
      conflict.value = null;
      trouble.value = "";
    });
  } catch (fault) {
    if (file.value === name) trouble.value = sentence(fault);
  }
}

/** Write the text to disk, unless somebody else has written meanwhile. */
export async function save(): Promise<void> {
  const name = loaded.value;
  const base = saved.value;
  const mine = text.value;
  if (!base || base.text === mine || saving.value || conflict.value) return;
  saving.value = true;
  try {
    const told = await ask<Saved>("PUT", filePath(name), { text: mine, base: base.digest });
    if (loaded.value === name) written(told, mine);
    trouble.value = "";
  } catch (fault) {
    if (fault instanceof Refusal && fault.status === 409) conflict.value = fault.body as Conflict;
    else trouble.value = sentence(fault);
  } finally {
    saving.value = false;
  }
}

/** The server has written `mine`, put together with what somebody else had written meanwhile. */
function written(told: Saved, mine: string): void {
  const name = loaded.value;
  const whole = told.text ?? mine;
  // keys pressed meanwhile are not in `whole`: the old base stays, and the next save merges again
  if (whole !== mine && text.value !== mine) return;
  batch(() => {
    saved.value = { file: name, text: whole, digest: told.digest };
    if (whole !== mine) text.value = whole;
  });
}

/** End a conflict with the text that is to stand. */
export function settle(stands: string): void {
  const met = conflict.value;
  if (!met) return;
  batch(() => {
    saved.value = { file: loaded.value, text: met.theirs, digest: met.digest };
    text.value = stands;
    conflict.value = null;
  });
}

/** Counts up with every change of a file of the folder. */
export const folderNews = signal(0);

/** Somebody else has written `name`; take it over if nothing was changed here. */
export function changedElsewhere(name: string, digest: string | null): void {
  folderNews.value += 1;
  if (name !== loaded.value || saved.value?.digest === digest) return;
  if (!changed.value) void load(name);
  else void save();
}

export function sentence(fault: unknown): string {
  return fault instanceof Error ? fault.message : String(fault);
}

effect(() => {
  const name = file.value;
  if (name && loaded.peek() !== name) {
    loaded.value = "";
    trouble.value = "";
    findings.value = [];
    checked.value = "";
    digest.value = "";
    void load(name);
  }
});

effect(() => {
  const now = text.value;
  const name = loaded.value;
  if (!name) return;
  const halt = new AbortController();
  const timer = window.setTimeout(() => void check(name, now, halt.signal), CHECK_AFTER);
  return () => {
    window.clearTimeout(timer);
    halt.abort();
  };
});

effect(() => {
  if (!changed.value || conflict.value || saving.value) return;
  void text.value;
  const timer = window.setTimeout(() => void save(), SAVE_AFTER);
  return () => window.clearTimeout(timer);
});

async function check(name: string, now: string, signal: AbortSignal): Promise<void> {
  try {
    const told = await ask<Checked>("POST", "/api/check", { file: name, text: now }, signal);
    batch(() => {
      findings.value = told.findings;
      checked.value = now;
      digest.value = told.digest;
      trouble.value = "";
    });
  } catch (fault) {
    if (!signal.aborted) trouble.value = sentence(fault);
  }
}

window.addEventListener("beforeunload", (event) => {
  if (changed.value) event.preventDefault();
});
