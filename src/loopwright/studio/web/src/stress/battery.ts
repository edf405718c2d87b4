// The document of `stress --json`, laid out as a table: what is done to what, how badly.
import type { StressCase } from "../messages";
import { percent, shown, valueOf } from "../parts/figure";

export type Case = StressCase;

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

/** What is done to materials: materials down, what is done across. */
export interface Sheet {
  readonly materials: readonly string[];
  readonly bands: readonly Band[];
  /** Number of the case of a material, kind and level; undefined where there is none. */
  readonly at: (material: string, kind: string, level: string) => number | undefined;
}

export const CALM = "undisturbed";

/** Kinds that are done to one material after the other, and the words above their columns. */
const WORDS: Record<string, string> = {
  outage: "away for",
  shortage: "cut for 10 min to",
  "wrong mix": "at the start",
  "carrier taken off": "by hand",
};

export function bandName(kind: string): string {
  return WORDS[kind] ?? kind;
}

/** How badly a case presses, such as "2 min" or "80 %". */
function level(one: Case): string {
  if (one.kind === "wrong mix") return "it only";
  if (one.kind === "carrier taken off") return "one off";
  if ((valueOf(one.share) ?? 0) > 0) return percent(one.share, 0);
  return duration(one.span);
}

export function duration(seconds: string): string {
  const value = valueOf(seconds) ?? 0;
  return value >= 60 && value % 60 === 0 ? `${shown(value / 60)} min` : `${shown(value)} s`;
}

/** Numbers of the cases that are done to everything, in order. */
export function general(cases: readonly Case[]): number[] {
  return [...cases.keys()].filter((number) => !((cases[number]?.kind ?? "") in WORDS));
}

/** The table of what is done to each material. */
export function sheet(cases: readonly Case[]): Sheet {
  const key = (...words: readonly string[]) => JSON.stringify(words);
  const places = new Map<string, number>();
  const levels = new Map<string, Set<string>>();
  const materials = new Set<string>();
  cases.forEach((one, number) => {
    if (!(one.kind in WORDS)) return;
    materials.add(one.material);
    levels.set(one.kind, (levels.get(one.kind) ?? new Set()).add(level(one)));
    places.set(key(one.material, one.kind, level(one)), number);
  });
  return {
    materials: [...materials],
    bands: [...levels].map(([kind, steps]) => ({ kind, levels: [...steps] })),
    at: (material, kind, step) => places.get(key(material, kind, step)),
  };
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
  switch (kind) {
    case CALM:
      return "Undisturbed";
    case "outage":
      return `Without ${material} for ${duration(one.span)}`;
    case "shortage":
      return `With ${percent(one.share, 0)} of the ${material} it needs for ${duration(one.span)}`;
    case "wrong mix":
      return `Begun with nothing but ${material} on the loops`;
    case "carrier taken off":
      return `With a carrier of ${material} taken off each loop`;
    case "foreign carrier":
      return `With a carrier of ${material} put on each loop`;
    case "missed picks":
      return `With ${percent(one.share, 0)} of all picks missed for ${duration(one.span)}`;
    case "uneven cycles":
      return `With cycles uneven by ± ${percent(one.share, 0)} for ${duration(one.span)}`;
    default:
      return `With ${kind}`;
  }
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
  return `${done(row.case)}, ${rates}.${back}${standing(row.jams)}`.replace(/ %/g, "\u00a0%");
}

function standing(jams: readonly string[]): string {
  if (jams.length === 0) return "";
  const more = jams.length > 2 ? ` and ${jams.length - 2} more` : "";
  const stand = jams.length === 1 ? "stands" : "stand";
  return ` ${jams.slice(0, 2).join(", ")}${more} ${stand} for good: no station there can ever start again.`;
}
