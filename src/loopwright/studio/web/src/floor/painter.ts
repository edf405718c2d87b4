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

/** A painter for `canvas`; `plain` asks for the one without WebGL. */
export function painterFor(canvas: HTMLCanvasElement, plain: boolean): Painter {
  return (plain ? null : gpuPainter(canvas)) ?? flatPainter(canvas);
}
