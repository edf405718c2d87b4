// The plan of the file, and a trial beside it: other demands, other weights.
import { computed, effect, signal } from "@preact/signals";
import type { Planned } from "../messages";
import { loaded, sound, text } from "../state/document";
import { setValue } from "../state/edit";
import { present } from "../state/jobs";
import { Latest } from "../state/latest";

export const ofFile = new Latest<Planned>("/api/plan");
/** The trial's figures come first, its drawing when nothing was changed for a moment. */
export const ofTrial = new Latest<Planned>("/api/plan");
const drawing = new Latest<Planned>("/api/plan");
const DRAW_AFTER = 120;

/** What the trial asks instead of what the file says. */
export const demand = signal<Readonly<Record<string, string>>>({});
export const weights = signal<Readonly<Record<string, string>>>({});

export const trying = computed(() => Object.keys(demand.value).length + Object.keys(weights.value).length > 0);

/** The plan of the file; the last one while a newer is on its way. */
export const base = computed(() => (ofFile.of.value === loaded.value ? ofFile.answer.value : null));
/** The plan that is shown. */
export const shownPlan = computed(() => {
  if (!trying.value) return base.value;
  return ofTrial.of.value === loaded.value && ofTrial.answer.value ? ofTrial.answer.value : base.value;
});
/** The drawing of the plan that is shown; the one before until it is there. */
export const flow = computed(() => {
  const drawn = trying.value && drawing.of.value === loaded.value ? drawing.answer.value?.flow : null;
  return drawn ?? base.value?.flow ?? "";
});
export const source = computed(() => (trying.value ? ofTrial : ofFile));

/** Ask for plans while the page is shown. */
export function followPlan(): () => void {
  return effect(() => {
    if (!sound.value || !present.value) return;
    const [file, now] = [loaded.value, text.value];
    ofFile.ask(file, { text: now });
    if (!trying.value) return;
    const asked = { text: now, demand: demand.value, weights: weights.value };
    ofTrial.ask(file, { ...asked, draw: false });
    const timer = window.setTimeout(() => drawing.ask(file, asked), DRAW_AFTER);
    return () => window.clearTimeout(timer);
  });
}

export function setDemand(product: string, rate: string | null): void {
  demand.value = changed(demand.value, product, rate);
}

export function setWeight(name: string, weight: string | null): void {
  weights.value = changed(weights.value, name, weight);
}

export function backToFile(): void {
  demand.value = {};
  weights.value = {};
}

/** What the file demands, as it is written there. */
export const demandOfFile = computed<Readonly<Record<string, string>>>(() => base.value?.demand ?? {});

/** Put the trial into the file; it is the file's plan from then on. */
export async function writeTrial(): Promise<void> {
  for (const [product, rate] of Object.entries(demand.value)) await setValue(["demand", product], rate);
  for (const [name, weight] of Object.entries(weights.value)) await setValue(["choices", "objective", name], weight);
  // the answer for the file is on its way and will say the same
  const answer = ofTrial.answer.peek();
  if (answer?.plan) ofFile.answer.value = { ...answer, flow: flow.peek() };
  backToFile();
}

function changed(all: Readonly<Record<string, string>>, name: string, to: string | null): Readonly<Record<string, string>> {
  const { [name]: _, ...others } = all;
  return to === null ? others : { ...others, [name]: to };
}

let of = "";
effect(() => {
  const name = loaded.value;
  if (!name || name === of) return;
  of = name;
  backToFile();
});
