// Exact figures of the server, such as "16/3", for people.

/** The value of an exact figure; null where it is none. */
export function valueOf(figure: string | number): number | null {
  if (typeof figure === "number") return figure;
  const found = /^(-?\d+(?:\.\d+)?)(?:\/(\d+))?$/.exec(figure.trim());
  return found ? Number(found[1]) / Number(found[2] ?? 1) : null;
}

/** A figure with at most `digits` significant digits, but with all of its whole ones; from ten
 *  thousand on in groups of three. */
export function shown(figure: string | number, digits = 4): string {
  const value = valueOf(figure);
  if (value === null) return String(figure);
  const whole = Math.abs(value) < 1 ? 0 : Math.floor(Math.log10(Math.abs(value))) + 1;
  const places = Number.isInteger(value) ? 0 : Math.max(0, Math.min(6, digits - whole));
  const [front = "", back = ""] = value.toFixed(places).split(".");
  const kept = back.replace(/0+$/, "");
  const grouped = front.replace("-", "").length > 4 ? front.replace(/\B(?=(\d{3})+$)/g, "\u202f") : front;
  return kept ? `${grouped}.${kept}` : grouped;
}

/** A share as per cent. */
export function percent(figure: string | number, digits = 1): string {
  const value = valueOf(figure);
  return value === null ? String(figure) : `${(value * 100).toFixed(digits)} %`;
}
