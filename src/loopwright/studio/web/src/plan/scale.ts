// A rate as it is written, made larger or smaller by an exact share.

export interface Written {
  readonly over: bigint;
  readonly under: bigint;
  /** What stands behind the number, such as "/min". */
  readonly unit: string;
}

/** A quantity such as "10.8/s", "16/3 units/min" or "7 1/2/h"; null where it is none. */
export function readQuantity(text: string): Written | null {
  const found = /^\s*(?:(\d+)\s+)?(\d+)(?:\.(\d+)|\s*\/\s*(\d+))?\s*([a-z/ ]*)$/i.exec(text);
  if (!found) return null;
  const [, whole = "0", main = "0", decimals = "", under = "1", unit = ""] = found;
  const scale = 10n ** BigInt(decimals.length);
  const below = BigInt(under) * scale;
  if (below === 0n) return null;
  return { over: BigInt(main + decimals) + BigInt(whole) * below, under: below, unit: unit.trim() };
}

/** The quantity times `share` per cent, written with the same unit. */
export function scaled(text: string, share: number): string {
  const read = readQuantity(text);
  if (!read) return text;
  return written({ ...read, over: read.over * BigInt(share), under: read.under * 100n });
}

/** As a decimal where that ends within four places, else as a fraction. */
export function written({ over, under, unit }: Written): string {
  const shared = divisor(over, under);
  const [a, b] = [over / shared, under / shared];
  const gap = unit && !unit.startsWith("/") ? " " : "";
  if (10_000n % b !== 0n) return `${a}/${b}${gap}${unit}`;
  const digits = String((a * 10_000n) / b).padStart(5, "0");
  const decimals = digits.slice(-4).replace(/0+$/, "");
  return `${digits.slice(0, -4)}${decimals ? `.${decimals}` : ""}${gap}${unit}`;
}

/** How many per cent of `of` a quantity is; null where units differ or one is none. */
export function shareOf(text: string, of: string): number | null {
  const [a, b] = [readQuantity(text), readQuantity(of)];
  if (!a || !b || b.over === 0n) return null;
  const [x, y] = [perSecond(a), perSecond(b)];
  return x === null || y === null ? null : (x / y) * 100;
}

/** How many of a unit's times a second has: 60 for "/min"; 1 where no time is named. */
export function timesOf(text: string): { readonly times: number; readonly unit: string } {
  const unit = readQuantity(text)?.unit ?? "/s";
  const time = /\/\s*(s|min|h)$/.exec(unit)?.[1] ?? "s";
  return { times: SECONDS[time] as number, unit: `/${time}` };
}

const SECONDS: Record<string, number> = { s: 1, min: 60, h: 3600 };

function perSecond({ over, under, unit }: Written): number | null {
  const time = /^(?:units?)?\s*\/\s*(s|min|h)$/.exec(unit)?.[1];
  return time ? Number(over) / Number(under) / (SECONDS[time] as number) : null;
}

function divisor(a: bigint, b: bigint): bigint {
  return b === 0n ? a || 1n : divisor(b, a % b);
}
