// What is to be tried: lengths of outages, shares of supply, a gate.
import { signal } from "@preact/signals";
import { GateChoice } from "../parts/GateChoice";

export const outages = signal("30 s, 2 min, 10 min");
export const shortages = signal("80 %, 95 %");
export const gate = signal("");

export function Options() {
  return (
    <>
      <label class="choice">
        away for
        <input
          type="text"
          size={20}
          value={outages.value}
          onInput={(event) => (outages.value = event.currentTarget.value)}
        />
      </label>
      <label class="choice">
        cut to
        <input
          type="text"
          size={12}
          value={shortages.value}
          onInput={(event) => (shortages.value = event.currentTarget.value)}
        />
      </label>
      <GateChoice gate={gate.value} choose={(one) => (gate.value = one)} />
    </>
  );
}

/** The options as the server takes them. */
export function asked(): Record<string, unknown> {
  const told = { outages: listed(outages.value), shortages: listed(shortages.value).map(share) };
  return gate.value ? { ...told, gate: gate.value } : told;
}

function listed(text: string): string[] {
  return text
    .split(/[,;]/)
    .map((one) => one.trim())
    .filter((one) => one !== "");
}

/** "80 %" as "0.8"; anything else as it is, for the server to judge. */
function share(text: string): string {
  const found = /^(\d+(?:\.\d+)?)\s*%$/.exec(text);
  return found ? String(Number((Number(found[1]) / 100).toFixed(8))) : text;
}
