// Times and figures of a run as words.

/** A time of the plant, such as "0:04:31.5"; tenths where `fine`. */
export function clock(time: number, fine = false): string {
  const tenths = Math.round(time * 10);
  const seconds = fine ? tenths / 10 : Math.floor(tenths / 10);
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor((seconds % 3600) / 60);
  const rest = seconds % 60;
  const last = fine ? rest.toFixed(1).padStart(4, "0") : String(rest).padStart(2, "0");
  return `${hours}:${String(minutes).padStart(2, "0")}:${last}`;
}

/** A rate with about four digits. */
export function rate(value: number): string {
  const size = Math.abs(value);
  return value.toFixed(size >= 1000 ? 0 : size >= 100 ? 1 : size >= 10 ? 2 : 3);
}

/** A whole number in groups of three. */
export function count(value: number): string {
  return value.toLocaleString("en").replace(/,/g, "\u202f");
}
