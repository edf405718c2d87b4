// The floor as the page needs it: cells of belts one by one, devices by name and by place.
import type { Floor } from "../messages";

export type Kind =
  | "station" | "belt" | "picker" | "gate" | "merge" | "side merge" | "divert" | "dock"
  | "exit dock" | "store" | "applicator" | "power node" | "row"; // prettier-ignore

export type Box = readonly [number, number, number, number];

export interface Place {
  readonly name: string;
  readonly kind: Kind;
  readonly box: Box;
  readonly detail: string;
}

/** All cells of all belts in the order of frames; `x`, `y` middle of a cell, `dx`, `dy` the step that
 *  led there. `shown` is 0 where a bridge lies over the cell. */
export interface Cells {
  readonly count: number;
  readonly x: Float32Array;
  readonly y: Float32Array;
  readonly dx: Float32Array;
  readonly dy: Float32Array;
  readonly shown: Uint8Array;
  /** First cell of each belt, and the end of the last. */
  readonly first: Int32Array;
}

export interface Site {
  readonly floor: Floor;
  readonly cells: Cells;
  readonly places: ReadonlyMap<string, Place>;
  /** What is seen at a cell, the uppermost first. */
  at(x: number, y: number): readonly Place[];
  /** What is built, with a rim [cells]. */
  readonly bounds: Box;
  readonly letters: ReadonlyMap<string, string>;
}

export function siteOf(floor: Floor): Site {
  const cells = cellsOf(floor);
  const places = placesOf(floor);
  const index = indexOf(floor, cells, places);
  return {
    floor,
    cells,
    places,
    at: (x, y) => index.get(key(x, y)) ?? [],
    bounds: boundsOf(cells, places),
    letters: new Map(floor.materials.map((one) => [one.name, one.letter])),
  };
}

function key(x: number, y: number): number {
  return Math.floor(y) * 65536 + Math.floor(x);
}

function cellsOf(floor: Floor): Cells {
  const count = floor.belts.reduce((sum, belt) => sum + belt.cells, 0);
  const [x, y, dx, dy] = [0, 0, 0, 0].map(() => new Float32Array(count)) as [
    Float32Array, Float32Array, Float32Array, Float32Array,
  ]; // prettier-ignore
  const level = new Uint8Array(count);
  const first = new Int32Array(floor.belts.length + 1);
  const decks = new Set<number>();
  let at = 0;
  floor.belts.forEach((belt, number) => {
    first[number] = at;
    const path = belt.path;
    const start = at;
    for (let corner = 0; corner < path.length; corner += 3) {
      const [cx, cy, up] = [path[corner]!, path[corner + 1]!, path[corner + 2]!];
      do {
        if (at > start) {
          const [px, py] = [x[at - 1]! - 0.5, y[at - 1]! - 0.5];
          dx[at] = Math.sign(cx - px);
          dy[at] = Math.sign(cy - py);
          x[at] = px + dx[at]! + 0.5;
          y[at] = py + dy[at]! + 0.5;
        } else {
          x[at] = cx + 0.5;
          y[at] = cy + 0.5;
        }
        level[at] = up;
        if (up) decks.add(key(x[at]!, y[at]!));
        at += 1;
      } while (x[at - 1] !== cx + 0.5 || y[at - 1] !== cy + 0.5);
    }
    if (at > start + 1) {
      dx[start] = dx[start + 1]!;
      dy[start] = dy[start + 1]!;
    }
  });
  first[floor.belts.length] = at;
  const shown = new Uint8Array(count).fill(1);
  for (let cell = 0; cell < count; cell += 1) {
    if (!level[cell] && decks.has(key(x[cell]!, y[cell]!))) shown[cell] = 0;
  }
  return { count, x, y, dx, dy, shown, first };
}

function placesOf(floor: Floor): Map<string, Place> {
  const found = new Map<string, Place>();
  const put = (name: string, kind: Kind, box: Box, detail: string) =>
    found.set(name, { name, kind, box, detail });
  for (const row of floor.rows) put(row.name, "row", row.box, "row of stations");
  for (const belt of floor.belts) {
    const xs = belt.path.filter((_, at) => at % 3 === 0);
    const ys = belt.path.filter((_, at) => at % 3 === 1);
    const [left, top] = [Math.min(...xs), Math.min(...ys)];
    const box: Box = [left, top, Math.max(...xs) - left + 1, Math.max(...ys) - top + 1];
    put(belt.name, "belt", box, `${belt.role}, ${belt.cells} cells at ${tidy(belt.speed)} cells/s`);
  }
  for (const one of floor.stations) put(one.name, "station", one.box, one.recipe);
  for (const one of floor.pickers) {
    put(one.name, "picker", [one.x, one.y, 1, 1], `${one.source} to ${one.target}`);
  }
  const others: [Kind, Floor["gates"]][] = [
    ["power node", floor.nodes], ["store", floor.stores], ["applicator", floor.applicators], ["side merge", floor.side_merges],
    ["merge", floor.merges], ["divert", floor.diverts], ["gate", floor.gates],
    ["dock", floor.sources], ["exit dock", floor.drains],
  ]; // prettier-ignore
  for (const [kind, devices] of others) {
    for (const one of devices) put(one.name, kind, one.box, one.detail);
  }
  return found;
}

function tidy(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}

/** Layers from the floor up: what is named later lies on top. */
const ORDER: readonly Kind[] = [
  "row", "belt", "station", "store", "applicator", "side merge", "merge", "divert", "power node", "picker",
  "dock", "exit dock", "gate",
]; // prettier-ignore

function indexOf(
  floor: Floor, cells: Cells, places: ReadonlyMap<string, Place>,
): Map<number, Place[]> { // prettier-ignore
  const index = new Map<number, Place[]>();
  const put = (at: number, place: Place) => {
    const here = index.get(at);
    if (here) here.unshift(place);
    else index.set(at, [place]);
  };
  const sorted = [...places.values()].sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind));
  for (const place of sorted) {
    if (place.kind === "row" || place.kind === "belt") continue;
    const [left, top, width, height] = place.box;
    for (let y = top; y < top + height; y += 1) {
      for (let x = left; x < left + width; x += 1) put(key(x, y), place);
    }
  }
  floor.belts.forEach((belt, number) => {
    const place = places.get(belt.name)!;
    for (let cell = cells.first[number]!; cell < cells.first[number + 1]!; cell += 1) {
      const at = key(cells.x[cell]!, cells.y[cell]!);
      const here = index.get(at);
      if (!here) index.set(at, [place]);
      else if (!here.includes(place)) here.push(place);
    }
  });
  return index;
}

function boundsOf(cells: Cells, places: ReadonlyMap<string, Place>): Box {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { box } of places.values()) {
    left = Math.min(left, box[0]);
    top = Math.min(top, box[1]);
    right = Math.max(right, box[0] + box[2]);
    bottom = Math.max(bottom, box[1] + box[3]);
  }
  if (!cells.count && left === Infinity) return [0, 0, 10, 10];
  return [left - 2.5, top - 2.5, right - left + 5, bottom - top + 5];
}
