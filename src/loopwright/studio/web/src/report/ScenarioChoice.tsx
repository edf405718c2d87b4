// Which run a paper is about: the scenarios of the text, as the server reads it.
import { effect, signal } from "@preact/signals";
import { ask } from "../api/http";
import type { Form } from "../messages";
import { checked, loaded, sound } from "../state/document";

const names = signal<readonly string[]>([]);
const scenario = signal("");

export function ScenarioChoice() {
  const chosen = names.value.includes(scenario.value) ? scenario.value : (names.value[0] ?? "");
  return (
    <label class="choice">
      <span>scenario</span>
      <select value={chosen} onChange={(event) => (scenario.value = event.currentTarget.value)}>
        {names.value.map((one) => (
          <option key={one} value={one}>
            {one}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The scenario that is chosen, as an option of a job; none, and the server takes the first. */
export function chosenScenario(): Record<string, unknown> {
  return names.value.includes(scenario.value) ? { scenario: scenario.value } : {};
}

/** Keep the names current while a page shows them; the return ends it. */
export function followScenarios(): () => void {
  return effect(() => {
    if (!sound.value) return;
    const halt = new AbortController();
    const body = { file: loaded.value, text: checked.value };
    ask<Form>("POST", "/api/form", body, halt.signal).then(
      (form) => {
        const given = form.fields.filter((one) => one.path[0] === "scenarios" && one.path.length > 1 && one.given);
        names.value = [...new Set(given.map((one) => String(one.path[1])))];
      },
      () => undefined, // without the names, the server takes the first
    );
    return () => halt.abort();
  });
}
