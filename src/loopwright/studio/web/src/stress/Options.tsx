// What is to be tried: lengths of outages, shares of supply, a gate.
import { signal } from "@preact/signals";
import type { Signal } from "@preact/signals";
import type { StressOptions } from "../messages";
import { GateChoice, GATES } from "../parts/GateChoice";

const outages = signal("30 s, 2 min, 10 min");
const shortages = signal("80 %, 95 %");
const missed = signal("30 %");
const spreads = signal("30 %");
const gate = signal("");

export function Options() {
  return (
    <>
      <Field name="supplies away for" size={19} levels={outages} />
      <Field name="cut to" size={11} levels={shortages} />
      <Field name="picks missed" size={7} levels={missed} />
      <Field name="cycles uneven by" size={7} levels={spreads} />
      <GateChoice gate={gate.value} choose={(one) => (gate.value = one)} />
    </>
  );
}

function Field({ name, size, levels }: { name: string; size: number; levels: Signal<string> }) {
  return (
    <label class="choice">
      {name}
      <input
        type="text"
        size={size}
        value={levels.value}
        onInput={(event) => (levels.value = event.currentTarget.value)}
      />
    </label>
  );
}

/** The options as the server takes them. */
export function asked(): StressOptions {
  const told: StressOptions = {
    outages: listed(outages.value),
    shortages: listed(shortages.value).map(share),
    missed: listed(missed.value).map(share),
    spreads: listed(spreads.value).map(share),
  };
  const tried = GATES.find((one) => one === gate.value);
  return tried ? { ...told, gate: tried } : told;
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
