// Lines of a proof: the figures that are held against each other, and signs in place of letters.
import { valueOf } from "../parts/figure";

export interface Inequality {
  readonly value: number;
  readonly limit: number;
  /** Whether the value may be at most the limit, or has to be at least it. */
  readonly most: boolean;
}

const FIGURE = String.raw`(\d+(?:\.\d+)?(?:\/\d+)?)`;
const HELD = new RegExp(`${FIGURE}(?: [a-z]+)* (<=|>=) ${FIGURE}`);

/** The two figures of a line such as "tap: 107 + 80 = 187 <= 214 = 216 - 2"; null where none. */
export function inequality(line: string): Inequality | null {
  const found = HELD.exec(line);
  if (!found) return null;
  const [value, limit] = [valueOf(found[1] ?? ""), valueOf(found[3] ?? "")];
  return value === null || limit === null ? null : { value, limit, most: found[2] === "<=" };
}

/** A line with the signs of print. */
export function printed(line: string): string {
  return line
    .replace(/<=/g, "≤")
    .replace(/>=/g, "≥")
    .replace(/(\d) x (\d)/g, "$1 × $2")
    .replace(/(\d) - (\d)/g, "$1 − $2");
}
