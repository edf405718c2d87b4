// Exact figures of the server, such as "16/3", for people.

/** The value of an exact figure; null where it is none. */
export function valueOf(figure: string | number): number | null {
  if (typeof figure === "number") return figure;
  const found = /^(-?\d+(?:\.\d+)?)(?:\/(\d+))?$/.exec(figure.trim());
  return found ? Number(found[1]) / Number(found[2] ?? 1) : null;
}

/** A figure with at most `digits` significant digits; whole numbers in full, in groups of three. */
export function shown(figure: string | number, digits = 4): string {
  const value = valueOf(figure);
  if (value === null) return String(figure);
  if (Number.isInteger(value)) return value.toLocaleString("en").replace(/,/g, "\u202f");
  const whole = Math.max(0, Math.floor(Math.log10(Math.abs(value))) + 1);
  return value.toFixed(Math.max(0, Math.min(6, digits - whole))).replace(/\.?0+$/, "");
}

/** A share as per cent. */
export function percent(figure: string | number, digits = 1): string {
  const value = valueOf(figure);
  return value === null ? String(figure) : `${(value * 100).toFixed(digits)} %`;
}
