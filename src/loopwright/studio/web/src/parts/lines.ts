// What differs between two texts, line by line.

/** A run of lines that both have, or that differ: `left` has gone, `right` has come. */
export interface Run {
  readonly same: boolean;
  readonly left: readonly string[];
  readonly right: readonly string[];
  /** Lines before the run, on each side. */
  readonly leftAt: number;
  readonly rightAt: number;
}

/** Beyond so many differing lines, what is between the ends that agree is one run. */
const MOST = 1000;

/** Runs that make up `left` and `right`, in order; a shortest edit after Myers (1986). */
export function compareLines(left: string, right: string): readonly Run[] {
  const a = left.split("\n");
  const b = right.split("\n");
  let head = 0;
  while (head < a.length && head < b.length && a[head] === b[head]) head += 1;
  let tail = 0;
  while (tail < a.length - head && tail < b.length - head && a[a.length - 1 - tail] === b[b.length - 1 - tail]) {
    tail += 1;
  }
  const kept = matches(a.slice(head, a.length - tail), b.slice(head, b.length - tail));
  const pairs: [number, number][] = [];
  for (let at = 0; at < head; at += 1) pairs.push([at, at]);
  for (const [x, y] of kept) pairs.push([x + head, y + head]);
  for (let at = tail; at > 0; at -= 1) pairs.push([a.length - at, b.length - at]);
  return runs(a, b, pairs);
}

/** Lines that came and lines that have gone. */
export function countLines(found: readonly Run[]): { added: number; removed: number } {
  let [added, removed] = [0, 0];
  for (const run of found) {
    if (run.same) continue;
    added += run.right.length;
    removed += run.left.length;
  }
  return { added, removed };
}

function runs(a: readonly string[], b: readonly string[], pairs: readonly [number, number][]): Run[] {
  const found: Run[] = [];
  let [x, y] = [0, 0];
  const put = (same: boolean, toX: number, toY: number) => {
    if (toX > x || toY > y) {
      found.push({ same, left: a.slice(x, toX), right: b.slice(y, toY), leftAt: x, rightAt: y });
    }
    [x, y] = [toX, toY];
  };
  for (let at = 0; at < pairs.length; ) {
    const [px, py] = pairs[at] as [number, number];
    put(false, px, py);
    let length = 0;
    while (pairs[at + length]?.[0] === px + length && pairs[at + length]?.[1] === py + length) length += 1;
    put(true, px + length, py + length);
    at += length;
  }
  put(false, a.length, b.length);
  return found;
}

/** Pairs of places whose lines agree, on a shortest way from one text to the other. */
function matches(a: readonly string[], b: readonly string[]): [number, number][] {
  const most = Math.min(a.length + b.length, MOST);
  const front = new Map<number, number>([[1, 0]]);
  const past: Map<number, number>[] = [];
  for (let d = 0; d <= most; d += 1) {
    past.push(new Map(front));
    for (let k = -d; k <= d; k += 2) {
      const down = k === -d || (k !== d && (front.get(k - 1) ?? -1) < (front.get(k + 1) ?? -1));
      let x = down ? (front.get(k + 1) ?? 0) : (front.get(k - 1) ?? 0) + 1;
      while (x < a.length && x - k < b.length && a[x] === b[x - k]) x += 1;
      front.set(k, x);
      if (x >= a.length && x - k >= b.length) return walkBack(past, d, a.length, b.length);
    }
  }
  return [];
}

function walkBack(past: readonly Map<number, number>[], steps: number, toX: number, toY: number): [number, number][] {
  const found: [number, number][] = [];
  let [x, y] = [toX, toY];
  for (let d = steps; d >= 0; d -= 1) {
    const front = past[d] as Map<number, number>;
    const k = x - y;
    const down = k === -d || (k !== d && (front.get(k - 1) ?? -1) < (front.get(k + 1) ?? -1));
    const from = down ? k + 1 : k - 1;
    const fromX = d === 0 ? 0 : (front.get(from) ?? 0);
    const fromY = d === 0 ? 0 : fromX - from;
    while (x > fromX && y > fromY) {
      x -= 1;
      y -= 1;
      found.push([x, y]);
    }
    [x, y] = [fromX, fromY];
  }
  return found.reverse();
}
