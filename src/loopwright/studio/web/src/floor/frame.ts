// Frames of a live run as the server packs them; studio/frame.py says how.
import type { Floor } from "../messages";

export interface Frame {
  readonly number: number;
  /** Time of the plant [s]. */
  readonly time: number;
  /** When it came [ms]. */
  readonly came: number;
  readonly stood: Uint16Array;
  readonly cells: Uint8Array | Uint16Array;
  readonly stations: Uint8Array;
  readonly pickers: Uint8Array;
}

const HEAD = 16;

/** The frame in `data`; null where it is of another floor. */
export function readFrame(data: ArrayBuffer, floor: Floor, cells: number): Frame | null {
  const view = new DataView(data);
  const wide = view.getUint8(0);
  const belts = floor.belts.length;
  const first = HEAD + Math.ceil((2 * belts) / 8) * 8;
  const after = first + cells * wide;
  if (data.byteLength !== after + floor.stations.length + floor.pickers.length) return null;
  return {
    number: view.getUint32(4, true),
    time: view.getFloat64(8, true),
    came: performance.now(),
    stood: new Uint16Array(data, HEAD, belts),
    cells: wide === 1 ? new Uint8Array(data, first, cells) : new Uint16Array(data, first, cells),
    stations: new Uint8Array(data, after, floor.stations.length),
    pickers: new Uint8Array(data, after + floor.stations.length),
  };
}
