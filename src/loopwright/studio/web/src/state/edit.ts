// Changes of the text that the server works out: a value set, choices, a table put in.
import { ask } from "../api/http";
import type { Edited, Finding } from "../messages";
import { loaded, sentence, text, trouble } from "./document";

export type Path = readonly (string | number)[];

/** How often a change is worked out anew because keys were pressed meanwhile. */
const TRIES = 4;

let last: Promise<unknown> = Promise.resolve();

/** Set the value at `path`, null to take it out; comments stay. Findings where that cannot be. */
export function setValue(path: Path, value: string | null): Promise<readonly Finding[]> {
  return queued("/api/form/edit", { path, value });
}

/** Set entries of `choices`; null puts one back to auto. */
export function setChoices(choices: Record<string, string | null>): Promise<readonly Finding[]> {
  return queued("/api/choose", { choices });
}

/** Changes go one after the other, each on the text that the one before has left. */
function queued(path: string, body: object): Promise<readonly Finding[]> {
  const turn = last.then(() => change(path, body));
  last = turn.catch(() => undefined);
  return turn;
}

async function change(path: string, body: object): Promise<readonly Finding[]> {
  try {
    for (let count = 0; count < TRIES; count += 1) {
      const name = loaded.peek();
      const before = text.peek();
      const told = await ask<Edited>("POST", path, { file: name, text: before, ...body });
      if (loaded.peek() !== name) return [];
      if (text.peek() !== before) continue;
      if (told.text !== null) text.value = told.text;
      return told.findings;
    }
  } catch (fault) {
    trouble.value = sentence(fault);
  }
  return [];
}
