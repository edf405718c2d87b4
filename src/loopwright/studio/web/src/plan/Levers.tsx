// What is asked: the rate of each product and the weights, drawn along or written as numbers.
import { useEffect, useState } from "preact/hooks";
import { valueOf } from "../parts/figure";
import { Part } from "../parts/Part";
import { scaled, shareOf } from "./scale";
import {
  backToFile, base, demand, demandOfFile, ofTrial, setDemand, setWeight, source, trying, weights, writeTrial,
} from "./trial";

/** Time without a key pressed after which a number is planned with [ms]. */
const AFTER = 200;
/** The slider's ends: a quarter and four times, as powers of two. */
const ENDS = 2;
const STEP = 0.02;

/** Places of a weight's slider. */
const WEIGHTS = ["0", "1/100", "1/50", "1/20", "1/10", "1/5", "1/2", "1", "2", "5", "10", "20", "50", "100"];

const MEANING: Record<string, string> = {
  effort: "of all devices",
  stations: "each",
  power: "each kW",
  floor: "each cell",
  imports: "at their prices",
  drains: "at their prices",
};

export function Levers() {
  const products = Object.entries(demandOfFile.value);
  const asked = source.value;
  const took = Math.round(asked.took.value);
  return (
    <div class="levers">
      <Part name="Demand" note="as the file has it: 100 %">
        {products.map(([product, written]) => (
          <Rate key={product} product={product} written={written} title={base.value?.titles[product] ?? product} />
        ))}
      </Part>
      <Part name="Weights" note="what the plan keeps small">
        {Object.entries(base.value?.weights ?? {}).map(([name, written]) => (
          <Weight key={name} name={name} written={written} />
        ))}
      </Part>
      <div class="bar">
        <button class="main" disabled={!trying.value} onClick={() => void writeTrial()}>
          Write this into the file
        </button>
        <button disabled={!trying.value} onClick={backToFile}>
          Back to the file
        </button>
      </div>
      {trying.value && ofTrial.fault.value && (
        <p class="note alarm" role="alert">
          {ofTrial.fault.value}
        </p>
      )}
      <p class="soft" aria-live="off">
        {asked.late.value ? "Planning" : took ? `Planned in ${took} ms` : ""}
        {trying.value ? "; a trial, the file is as it was" : ""}
      </p>
    </div>
  );
}

function Rate({ product, written, title }: { readonly product: string; readonly written: string; readonly title: string }) {
  const now = demand.value[product] ?? written;
  const share = shareOf(now, written);
  const per = share === null ? null : Math.round(share);
  return (
    <div class="lever">
      <span class="name">{title}</span>
      <span class="figure">{per === null ? "–" : `${per} %`}</span>
      <input
        type="range"
        aria-label={`Rate of ${title}`}
        aria-valuetext={`${per ?? "?"} %, ${now}`}
        min={-ENDS}
        max={ENDS}
        step={STEP}
        value={share ? Math.log2(share / 100) : 0}
        onInput={(event) => {
          const to = Math.round(100 * 2 ** event.currentTarget.valueAsNumber);
          setDemand(product, to === 100 ? null : scaled(written, to));
        }}
      />
      <Typed label={`Rate of ${title} as a number`} bad={refused(`demand of ${product}`)} value={now} write={(text) => setDemand(product, text === written || !text ? null : text)} />
    </div>
  );
}

function Weight({ name, written }: { readonly name: string; readonly written: string }) {
  const now = weights.value[name] ?? written;
  return (
    <div class="lever">
      <span class="name">
        {name} <span class="soft">{MEANING[name] ?? ""}</span>
      </span>
      <span />
      <input
        type="range"
        aria-label={`Weight of ${name}`}
        aria-valuetext={now}
        min={0}
        max={WEIGHTS.length - 1}
        step={1}
        value={nearest(now)}
        onInput={(event) => {
          const to = WEIGHTS[event.currentTarget.valueAsNumber] as string;
          setWeight(name, valueOf(to) === valueOf(written) ? null : to);
        }}
      />
      <Typed label={`Weight of ${name} as a number`} bad={refused(`weight of ${name}`)} value={now} write={(text) => setWeight(name, text === written || !text ? null : text)} />
    </div>
  );
}

/** Whether the server refuses the value of `what`. */
function refused(what: string): boolean {
  return trying.value && ofTrial.fault.value.startsWith(what);
}

/** A number that is written: it counts when no key was pressed for a moment. */
interface TypedProps {
  readonly label: string;
  readonly bad: boolean;
  readonly value: string;
  readonly write: (text: string) => void;
}

function Typed({ label, bad, value, write }: TypedProps) {
  const [draft, setDraft] = useState<string | null>(null);
  useEffect(() => {
    if (draft === null) return;
    const timer = window.setTimeout(() => write(draft.trim()), AFTER);
    return () => window.clearTimeout(timer);
  }, [draft]);
  return (
    <input
      type="text"
      aria-label={label}
      aria-invalid={bad}
      value={draft ?? value}
      spellcheck={false}
      onInput={(event) => setDraft(event.currentTarget.value)}
      onBlur={() => {
        if (draft !== null) write(draft.trim());
        setDraft(null);
      }}
    />
  );
}

function nearest(weight: string): number {
  const value = valueOf(weight) ?? 0;
  const far = WEIGHTS.map((one) => Math.abs(Math.log((valueOf(one) as number) + 1e-3) - Math.log(value + 1e-3)));
  return far.indexOf(Math.min(...far));
}
