// What moves, gathered for one picture: carriers on belts and in hands, stations that do not work.
import type { Frame } from "./frame";
import type { Site } from "./site";
import type { View } from "./view";

/** Numbers of a carrier: x, y of its middle, size [cells], row and column of its tile. */
export const CARRIER = 5;
/** Numbers of a station: x, y, width, height [cells], what it does. */
export const STATION = 5;

export const BUSY = 1;
export const BLOCKED = 2;
export const STARVED = 3;
export const DOWN = 4;

export interface Scene {
  readonly carriers: Float32Array;
  carrierCount: number;
  readonly stations: Float32Array;
  stationCount: number;
}

/** Size of a carrier in a hand [cells], and the zoom [px a cell] from which hands are shown. */
const IN_HAND = 0.5;
const HANDS_FROM = 9;
/** Zoom from which a station shows the letter of what it waits for. */
const LETTER_FROM = 10;

/** Part of a carrier that must be out from below a bridge for it to be shown. */
const UNDER_BRIDGE = 0.2;

export interface Shown {
  readonly carriers: boolean;
  readonly stations: boolean;
  readonly pickers: boolean;
}

export function emptyScene(site: Site): Scene {
  const { floor, cells } = site;
  const most = cells.count + floor.pickers.length + floor.stations.length;
  return {
    carriers: new Float32Array(most * CARRIER),
    carrierCount: 0,
    stations: new Float32Array(floor.stations.length * STATION),
    stationCount: 0,
  };
}

/** Fill `scene` from `frame` for what is in the window. `time` [s] is what the clock of the page says
 *  between frames: carriers that moved at the last step of their belt are on their way then;
 *  NaN: all stand in the middle of their cells. */
export function gather(
  scene: Scene, site: Site, frame: Frame, view: View, time: number, shown: Shown,
): void { // prettier-ignore
  scene.carrierCount = scene.stationCount = 0;
  const area: Area = [
    view.x - 1, view.y - 1, view.x + view.width / view.scale + 1, view.y + view.height / view.scale + 1,
  ]; // prettier-ignore
  if (shown.carriers) carriers(scene, site, frame, area, time);
  if (shown.pickers && view.scale >= HANDS_FROM) hands(scene, site, frame, area);
  if (shown.stations) stations(scene, site, frame, area, view.scale >= LETTER_FROM);
}

type Area = readonly [number, number, number, number];

function carriers(scene: Scene, site: Site, frame: Frame, area: Area, time: number): void {
  const { cells, floor } = site;
  const out = scene.carriers;
  let at = 0;
  for (let belt = 0; belt < floor.belts.length; belt += 1) {
    const begin = cells.first[belt]!;
    const finish = cells.first[belt + 1]!;
    const back = 1 - phase(frame.time, time, floor.belts[belt]!.speed);
    const front = finish - frame.stood[belt]!;
    for (let cell = begin; cell < finish; cell += 1) {
      const code = frame.cells[cell]!;
      if (!code || !cells.shown[cell]) continue;
      let x = cells.x[cell]!;
      let y = cells.y[cell]!;
      if (x < area[0] || x > area[2] || y < area[1] || y > area[3]) continue;
      if (cell < front) {
        // it comes out from below a bridge
        if (back > UNDER_BRIDGE && cell > begin && !cells.shown[cell - 1]) continue;
        x -= cells.dx[cell]! * back;
        y -= cells.dy[cell]! * back;
      }
      out[at] = x;
      out[at + 1] = y;
      out[at + 2] = 1;
      out[at + 3] = code >> 4;
      out[at + 4] = code & 15;
      at += CARRIER;
    }
  }
  scene.carrierCount = at / CARRIER;
}

/** How far a belt of `speed` is in the step that it began last before `stamp`, at `time`; 0 to 1. */
export function phase(stamp: number, time: number, speed: number): number {
  if (Number.isNaN(time)) return 1;
  const began = Math.floor(stamp * speed + 1e-6) / speed;
  return Math.max(0, Math.min(1, (time - began) * speed));
}

const FACING = { north: [0, -1], east: [1, 0], south: [0, 1], west: [-1, 0] } as const;

function hands(scene: Scene, site: Site, frame: Frame, area: Area): void {
  const pickers = site.floor.pickers;
  const out = scene.carriers;
  let at = scene.carrierCount * CARRIER;
  for (let number = 0; number < pickers.length; number += 1) {
    const code = frame.pickers[number]!;
    const material = (code & 63) - 1;
    if (material < 0) continue;
    const picker = pickers[number]!;
    const [x, y] = [picker.x + 0.5, picker.y + 0.5];
    if (x < area[0] || x > area[2] || y < area[1] || y > area[3]) continue;
    const [fx, fy] = FACING[picker.facing];
    const ahead = code >> 6 === 1 ? 0 : 0.35;
    out[at] = x + fx * ahead;
    out[at + 1] = y + fy * ahead;
    out[at + 2] = IN_HAND;
    out[at + 3] = material;
    out[at + 4] = Math.min(15, site.floor.materials[material]?.stack ?? 1);
    at += CARRIER;
  }
  scene.carrierCount = at / CARRIER;
}

function stations(scene: Scene, site: Site, frame: Frame, area: Area, letters: boolean): void {
  const list = site.floor.stations;
  let at = 0;
  let sign = scene.carrierCount * CARRIER;
  for (let number = 0; number < list.length; number += 1) {
    const told = frame.stations[number]!;
    const does = told & 7;
    if (does === BUSY || does === 0) continue;
    const [x, y, width, height] = list[number]!.box;
    if (x + width < area[0] || x > area[2] || y + height < area[1] || y > area[3]) continue;
    scene.stations.set([x, y, width, height, does], at);
    at += STATION;
    const material = (told >> 3) - 1;
    if (letters && does === STARVED && material >= 0) {
      const stack = Math.min(15, site.floor.materials[material]?.stack ?? 1);
      scene.carriers.set([x + 0.62, y + 0.62, 0.8, material, stack], sign);
      sign += CARRIER;
    }
  }
  scene.stationCount = at / STATION;
  scene.carrierCount = sign / CARRIER;
}
