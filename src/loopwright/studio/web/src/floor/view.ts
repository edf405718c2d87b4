// What of the site is in the window, and how large: pan, zoom, fit.
import type { Box } from "./site";

const MOST = 90;
/** Room round what is fitted in [px]. */
const RIM = 10;

/** `scale` [px a cell]; `x`, `y` the place of the site at the left upper corner [cells]. */
export class View {
  x = 0;
  y = 0;
  scale = 4;
  width = 1;
  height = 1;
  /** Pixels of the screen in a pixel of the page. */
  dense = 1;
  /** Counts changes, so that others see them. */
  turn = 0;
  private least = 0.2;

  resize(width: number, height: number, dense: number): void {
    const [x, y] = this.middle();
    this.width = Math.max(1, width);
    this.height = Math.max(1, height);
    this.dense = dense;
    this.put(x, y);
  }

  private middle(): [number, number] {
    return [this.x + this.width / this.scale / 2, this.y + this.height / this.scale / 2];
  }

  private put(x: number, y: number): void {
    this.x = x - this.width / this.scale / 2;
    this.y = y - this.height / this.scale / 2;
    this.turn += 1;
  }

  /** Show all of `box` [cells]; not nearer than `most` [px a cell]. The window is filled with what is
   *  built, in `bounds`, as far as that goes. */
  fit(box: Box, most: number = MOST, bounds: Box = box): void {
    const [left, top, width, height] = box;
    const room = Math.min((this.width - 2 * RIM) / width, (this.height - 2 * RIM) / height);
    this.scale = Math.max(0.1, Math.min(most, room));
    this.put(
      kept(left + width / 2, this.width / this.scale, bounds[0], bounds[2]),
      kept(top + height / 2, this.height / this.scale, bounds[1], bounds[3]),
    );
  }

  /** The least scale that may be zoomed to: a bit less than where all of `box` is seen. */
  hold(box: Box): void {
    this.least = 0.6 * Math.min(this.width / box[2], this.height / box[3]);
  }

  move(dx: number, dy: number): void {
    this.x -= dx / this.scale;
    this.y -= dy / this.scale;
    this.turn += 1;
  }

  /** Zoom by `factor` about a point of the window [px]. */
  zoom(factor: number, px: number = this.width / 2, py: number = this.height / 2): void {
    const [x, y] = this.cell(px, py);
    this.scale = Math.max(Math.min(this.least, this.scale), Math.min(MOST, this.scale * factor));
    this.x = x - px / this.scale;
    this.y = y - py / this.scale;
    this.turn += 1;
  }

  /** The place of the site under a point of the window. */
  cell(px: number, py: number): [number, number] {
    return [this.x + px / this.scale, this.y + py / this.scale];
  }

  /** Where a place of the site is in the window [px]. */
  point(x: number, y: number): [number, number] {
    return [(x - this.x) * this.scale, (y - this.y) * this.scale];
  }
}

/** A middle near `wanted` from which a window of `span` shows nothing beyond `length` from `first` on,
 *  or all of it in the middle where it is shorter. */
function kept(wanted: number, span: number, first: number, length: number): number {
  if (span >= length) return first + length / 2;
  return Math.max(first + span / 2, Math.min(first + length - span / 2, wanted));
}
