// The document of `stress --json`, laid out as a table: what is done to what, how badly.
import { percent, shown, valueOf } from "../parts/figure";

export interface Case {
  readonly kind: string;
  /** What it is done to; "" where it is done to everything. */
  readonly material: string;
  /** How long it lasts [s]. */
  readonly span: string;
  /** Share that is still supplied, or that goes wrong. */
  readonly share: string;
}

export interface Row {
  readonly case: Case;
  readonly during: string;
  readonly after: string;
  /** From the end of it to full rate [s]; null where that was not seen. */
  readonly time: string | null;
  readonly jams: readonly string[];
}

export interface Battery {
  readonly cases: readonly Case[];
  readonly rows: readonly Row[];
  readonly whole: boolean;
  /** The undisturbed rate, as a share of what all stations can make. */
  readonly standard: string;
  readonly sentences: readonly string[];
}

/** Columns of one kind of case: what it is called, and its levels. */
export interface Band {
  readonly kind: string;
  readonly levels: readonly string[];
}

/** A table: things that something is done to, down; what is done, across. */
export interface Sheet {
  readonly rows: readonly string[];
  readonly bands: readonly Band[];
  /** Number of the case of a row, kind and level; undefined where there is none. */
  readonly at: (row: string, kind: string, level: string) => number | undefined;
}

export const CALM = "undisturbed";

const WORDS: Record<string, string> = {
  outage: "away for",
  shortage: "cut for 10 min to",
  "wrong mix": "at the start",
};

export function bandName(kind: string): string {
  return WORDS[kind] ?? kind;
}

/** How badly a case presses, such as "2 min" or "80 %". */
export function level(one: Case): string {
  if (one.kind === "wrong mix") return "it only";
  if ((valueOf(one.share) ?? 0) > 0) return percent(one.share, 0);
  return duration(one.span);
}

export function duration(seconds: string): string {
  const value = valueOf(seconds) ?? 0;
  return value >= 60 && value % 60 === 0 ? `${shown(value / 60)} min` : `${shown(value)} s`;
}

/** Sheets of a battery: one of what is done to each material, one of what is done to everything. */
export function sheets(cases: readonly Case[]): Sheet[] {
  const numbered = cases.map((one, number) => ({ one, number })).filter(({ one }) => one.kind !== CALM);
  const found: Sheet[] = [];
  for (const part of [numbered.filter(({ one }) => one.material), numbered.filter(({ one }) => !one.material)]) {
    if (part.length === 0) continue;
    const name = (one: Case) => one.material || one.kind;
    const band = (one: Case) => (one.material ? one.kind : "");
    const key = (...words: readonly string[]) => JSON.stringify(words);
    const places = new Map(part.map(({ one, number }) => [key(name(one), band(one), level(one)), number]));
    const bands = distinct(part.map(({ one }) => band(one))).map((kind) => ({
      kind,
      levels: distinct(part.filter(({ one }) => band(one) === kind).map(({ one }) => level(one))),
    }));
    found.push({
      rows: distinct(part.map(({ one }) => name(one))),
      bands,
      at: (row, kind, step) => places.get(key(row, kind, step)),
    });
  }
  return found;
}

/** The row of case `number`, where it is finished. */
export function rowOf(battery: Battery, number: number): Row | undefined {
  const wanted = JSON.stringify(Object.values(battery.cases[number] ?? {}));
  return battery.rows.find((row) => JSON.stringify(Object.values(row.case)) === wanted);
}

/** Share of the undisturbed rate that counts as come back. */
const CLOSE = 0.99;

export type Fate = "stands" | "loses" | "back";

/** What becomes of the design: a loop stands, rate is lost for good, or it comes back. */
export function fate(row: Row, battery: Battery): Fate {
  if (row.jams.length > 0) return "stands";
  const lost = (valueOf(row.after) ?? 0) < CLOSE * (valueOf(battery.standard) ?? 1);
  return lost ? "loses" : "back";
}

/** What is done, as the beginning of a sentence. */
export function done(one: Case): string {
  const { kind, material } = one;
  if (kind === CALM) return "Undisturbed";
  if (kind === "outage") return `Without ${material} for ${duration(one.span)}`;
  if (kind === "shortage") return `With ${percent(one.share, 0)} of the ${material} it needs for ${duration(one.span)}`;
  if (kind === "wrong mix") return `Begun with nothing but ${material} on the loops`;
  return `With ${kind} of ${level(one)}`;
}

/** What came of it, in sentences. */
export function told(row: Row): string {
  const calm = row.case.kind === CALM;
  const rates = calm
    ? `the stations make ${percent(row.after)} of what they can`
    : `the stations make ${percent(row.during)} of what they can while it lasts, and ${percent(row.after)} long after`;
  const back = calm
    ? ""
    : row.time === null
      ? " Full rate was not seen again."
      : ` Full rate is back ${valueOf(row.time) === 0 ? "at once" : `${duration(row.time)} after its end`}.`;
  return `${done(row.case)}, ${rates}.${back}${standing(row.jams)}`;
}

function standing(jams: readonly string[]): string {
  if (jams.length === 0) return "";
  const more = jams.length > 2 ? ` and ${jams.length - 2} more` : "";
  const stand = jams.length === 1 ? "stands" : "stand";
  return ` ${jams.slice(0, 2).join(", ")}${more} ${stand} for good: no station there can ever start again.`;
}

function distinct(words: readonly string[]): string[] {
  return [...new Set(words)];
}
