// What varies: keys of the file, each with the values that it takes in turn.
import { signal } from "@preact/signals";
import type { CompareOptions } from "../messages";

interface Axis {
  readonly key: string;
  readonly values: string;
}

const axes = signal<readonly Axis[]>([]);

/** Keys of `choices` that are often tried, and values to begin with; a test compares them. */
export const KEYS: Readonly<Record<string, string>> = {
  gate: "windowed, scarcest-first",
  row: "24, 36",
  sides: "double, single",
  architecture: "loop, plain",
  supply: "docks, trunks",
  mix: "gate, mixer",
  surplus: "0.1, 0.2",
};

export function Options() {
  return (
    <div class="axes">
      {axes.value.map((axis, at) => (
        <div key={at} class="axis">
          <label class="choice">
            key
            <input
              type="text"
              size={26}
              list="compare-keys"
              value={axis.key}
              onInput={(event) => set(at, { ...axis, key: event.currentTarget.value })}
            />
          </label>
          <label class="choice">
            values
            <input
              type="text"
              size={30}
              value={axis.values}
              placeholder={KEYS[axis.key] ?? "one, another"}
              onInput={(event) => set(at, { ...axis, values: event.currentTarget.value })}
            />
          </label>
          <button onClick={() => (axes.value = axes.value.filter((_, other) => other !== at))}>Leave out</button>
        </div>
      ))}
      <datalist id="compare-keys">
        {Object.keys(KEYS).map((key) => (
          <option key={key} value={key} />
        ))}
      </datalist>
      {axes.value.length < 10 && (
        <button onClick={add}>{axes.value.length === 0 ? "Vary a key" : "Vary another"}</button>
      )}
    </div>
  );
}

/** The next of the usual keys, with its values. */
function add(): void {
  const taken = new Set(axes.value.map((axis) => axis.key));
  const [key, values] = Object.entries(KEYS).find(([one]) => !taken.has(one)) ?? ["", ""];
  axes.value = [...axes.value, { key, values }];
}

function set(at: number, axis: Axis): void {
  axes.value = axes.value.map((other, place) => (place === at ? axis : other));
}

/** The options as the server takes them. */
export function asked(): CompareOptions {
  return { vary: axes.value.map(({ key, values }) => `${key}=${values}`) };
}

/** How many designs that makes; null where the server lists them. */
export function count(): number | null {
  if (axes.value.length === 0) return null;
  return axes.value.reduce((product, axis) => product * axis.values.split(",").length, 1);
}
