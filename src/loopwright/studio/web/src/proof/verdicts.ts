// The document of `prove --json`, `recover --json` and `prove --remedy --json`; loops put together.

export type Outcome = "proved" | "refuted" | "undecided";

export interface Reason {
  readonly topic: string;
  readonly text: string;
}

export interface Claim {
  readonly theorem: string;
  readonly given: readonly string[];
  readonly reasons: readonly Reason[];
}

export interface Jam {
  readonly missing: string | null;
  readonly span: string;
  readonly sentence: string;
}

/** A measured run: share of full rate in the end, after `missing` was away for `span` [s]. */
export interface Measured {
  readonly scenario: { readonly start: string };
  readonly missing: string | null;
  readonly span: string;
  readonly share: string;
  readonly lasting: boolean;
}

export interface Verdict {
  readonly loop: string;
  readonly kind: string;
  readonly cells: number;
  readonly bridges: number;
  readonly docks: number;
  readonly floor: number;
  readonly stations: number;
  readonly materials: readonly string[];
  readonly gate: string | null;
  readonly rule: string | null;
  readonly question: string;
  readonly outcome: Outcome;
  readonly because: readonly string[];
  readonly remedies: readonly string[];
  readonly claim: Claim | null;
  readonly jam: Jam | null;
  readonly shortfall: Measured | null;
  readonly runs: readonly Measured[];
}

export interface Verdicts {
  readonly verdicts: readonly Verdict[];
  /** Sentences of the assumptions, by their names. */
  readonly assumptions: Readonly<Record<string, string>>;
  readonly laws: readonly Laws[];
}

/** What the laws say of loops of one shape: law, of what, predicted, measured, because. */
export interface Laws {
  readonly loop: string;
  readonly rows: readonly (readonly string[])[];
}

export interface Way {
  readonly card: { readonly way: string; readonly predicted: string; readonly slowest: string; readonly missing: readonly string[] };
  readonly steps: readonly string[];
  readonly time: string | null;
  readonly share: string;
  readonly standard: string;
  readonly works: boolean;
}

export interface Recovered {
  readonly loops: readonly string[];
  readonly title: string;
  readonly ways: readonly Way[];
}

export interface Recovery {
  /** Loops that are brought back alike, all of them in one run. */
  readonly groups: readonly Recovered[];
}

export interface Price {
  readonly stations: number;
  readonly pickers: number;
  readonly gates: number;
  readonly rows: number;
  readonly cells: number;
  readonly bridges: number;
  readonly docks: number;
  readonly floor: number;
  readonly effort: string;
  readonly power: string;
  readonly rate: string;
  /** What goes to drains of leftovers, as a share of what comes in. */
  readonly waste: string;
}

export interface Tried {
  readonly told: string;
  /** The law that asks for it, with the numbers of the design; empty for the design as it is. */
  readonly why: string;
  /** Rates as shares of what all stations can make: from an empty start, and with late picks. */
  readonly started: string;
  readonly late: string;
  /** The file with the change in it; null where it cannot be written there. */
  readonly text: string | null;
  /** Why it cannot be written there. */
  readonly unwritten: string;
  readonly outcomes: readonly (readonly [Outcome, Outcome])[];
  readonly price: Price | null;
  readonly refusal: string;
  readonly green: boolean;
}

export interface Remedies {
  readonly tried: readonly Tried[];
  /** What else would help, but cannot be said in the file. */
  readonly advice: readonly string[];
}

/** Loops of which the same is said. */
export interface Group {
  readonly loops: readonly string[];
  /** One verdict a question, of the first loop. */
  readonly verdicts: readonly Verdict[];
}

/** Loops put together where the same is said of them, in the order of the document. */
export function grouped(verdicts: readonly Verdict[]): Group[] {
  const loops = new Map<string, Verdict[]>();
  for (const one of verdicts) loops.set(one.loop, [...(loops.get(one.loop) ?? []), one]);
  const groups = new Map<string, { loops: string[]; verdicts: Verdict[] }>();
  for (const [loop, both] of loops) {
    const key = JSON.stringify(
      both.map((one) => [one.kind, one.cells, one.stations, one.materials, one.rule, one.question, one.outcome, one.because]),
    );
    const met = groups.get(key);
    if (met) met.loops.push(loop);
    else groups.set(key, { loops: [loop], verdicts: both });
  }
  return [...groups.values()];
}

export const ANSWERS: readonly Outcome[] = ["refuted", "undecided", "proved"];

/** The worst of several answers; none of none. */
export function worst(outcomes: readonly Outcome[]): Outcome | null {
  return ANSWERS.find((one) => outcomes.includes(one)) ?? null;
}

/** How often each answer was given to a question, such as "6 proved". */
export function tally(verdicts: readonly Verdict[], question: string): readonly [Outcome, number][] {
  const given = verdicts.filter((one) => one.question === question);
  return ANSWERS.map((one): [Outcome, number] => [one, given.filter((v) => v.outcome === one).length]).filter(
    ([, count]) => count > 0,
  );
}
