// The document of `compare --json`: designs, what each takes, makes and stands.
import { valueOf } from "../parts/figure";
import type { Outcome, Price } from "../proof/verdicts";

export interface Figures {
  readonly price: Price;
  /** Rates of the product [units/s]. */
  readonly target: string;
  readonly made: string;
  readonly late: string;
  readonly after: string;
  readonly worst: string;
  readonly jams: readonly string[];
  readonly safe: Outcome | "";
  readonly returns: Outcome | "";
}

export interface Design {
  readonly letter: string;
  readonly told: string;
  readonly refusal: string;
  readonly sound: boolean;
  readonly figures: Figures | null;
  /** The file with the change in it; null where it cannot be written there. */
  readonly text: string | null;
}

export interface Comparison {
  readonly variants: readonly { readonly letter: string; readonly told: string }[];
  readonly designs: readonly Design[];
  readonly whole: boolean;
  readonly sentences: readonly string[];
}

/** What may be had for less: its name, its unit, and where it stands. */
export interface Measure {
  readonly name: string;
  readonly unit: string;
  readonly of: (price: Price) => number;
}

export const MEASURES: readonly Measure[] = [
  { name: "effort", unit: "", of: (price) => valueOf(price.effort) ?? 0 },
  { name: "floor", unit: "cells", of: (price) => price.floor },
  { name: "power", unit: "kW", of: (price) => valueOf(price.power) ?? 0 },
  { name: "pickers", unit: "", of: (price) => price.pickers },
  { name: "belt cells", unit: "", of: (price) => price.cells },
  { name: "stations", unit: "", of: (price) => price.stations },
];

export function words(measure: Measure): string {
  return measure.unit ? `${measure.name} [${measure.unit}]` : measure.name;
}

/** A rate as a share of what is asked for. */
export function share(rate: string, figures: Figures): number {
  const target = valueOf(figures.target) ?? 0;
  return target > 0 ? (valueOf(rate) ?? 0) / target : 1;
}

/** Letters of the sound designs that no other sound one beats in both measures, by the first. */
export function front(designs: readonly Design[], x: Measure, y: Measure): string[] {
  const places = designs.flatMap(({ letter, sound, figures }) =>
    sound && figures ? [{ letter, x: x.of(figures.price), y: y.of(figures.price) }] : [],
  );
  return places
    .filter((one) => !places.some((other) => other.x <= one.x && other.y <= one.y && (other.x < one.x || other.y < one.y)))
    .sort((a, b) => a.x - b.x || a.y - b.y)
    .map((one) => one.letter);
}
