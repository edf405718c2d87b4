// Whoever puts a scene on a canvas: by WebGL2 where the browser has it, else by the plain pen.
import { flatPainter } from "./flat";
import { gpuPainter } from "./gpu";
import type { Colours } from "./colours";
import type { Scene } from "./scene";
import type { Tiles } from "./tiles";
import type { View } from "./view";

export interface Painter {
  readonly kind: "webgl2" | "canvas";
  /** New pictures of carriers, or new colours. */
  dress(tiles: Tiles, colours: Colours): void;
  paint(scene: Scene, view: View): void;
  /** Give back what is held. */
  free(): void;
}

/** Which painter is asked for. */
export type Wish = "any" | "webgl2" | "canvas";

/** A painter for `canvas`. */
export function painterFor(canvas: HTMLCanvasElement, wish: Wish): Painter {
  return (wish === "canvas" ? null : gpuPainter(canvas, wish === "webgl2")) ?? flatPainter(canvas);
}
