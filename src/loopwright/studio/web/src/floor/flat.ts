// A scene by the plain pen of a canvas: for browsers without WebGL2.
import type { Colours } from "./colours";
import type { Painter } from "./painter";
import { BLOCKED, CARRIER, DOWN, STARVED, STATION } from "./scene";
import type { Scene } from "./scene";
import type { Tiles } from "./tiles";
import type { View } from "./view";

export function flatPainter(canvas: HTMLCanvasElement): Painter {
  const pen = canvas.getContext("2d")!;
  let tiles: Tiles | null = null;
  let colours: Colours = () => "#808080";
  return {
    kind: "canvas",
    dress(made, now) {
      tiles = made;
      colours = now;
    },
    paint(scene, view) {
      pen.setTransform(1, 0, 0, 1, 0, 0);
      pen.clearRect(0, 0, canvas.width, canvas.height);
      stations(pen, scene, view, colours);
      if (tiles) carriers(pen, scene, view, tiles);
    },
    free() {},
  };
}

function carriers(pen: CanvasRenderingContext2D, scene: Scene, view: View, tiles: Tiles): void {
  const unit = view.scale * view.dense;
  const { cell, picture } = tiles;
  for (let at = 0; at < scene.carrierCount * CARRIER; at += CARRIER) {
    const size = scene.carriers[at + 2]! > 0.99 ? cell : unit * scene.carriers[at + 2]!;
    const x = (scene.carriers[at]! - view.x) * unit - size / 2;
    const y = (scene.carriers[at + 1]! - view.y) * unit - size / 2;
    const [row, column] = [scene.carriers[at + 3]!, scene.carriers[at + 4]!];
    pen.drawImage(picture, column * cell, row * cell, cell, cell, Math.round(x), Math.round(y), size, size);
  }
}

function stations(pen: CanvasRenderingContext2D, scene: Scene, view: View, colours: Colours): void {
  const unit = view.scale * view.dense;
  const line = lineOf(unit, view.dense);
  pen.lineWidth = line;
  for (let at = 0; at < scene.stationCount * STATION; at += STATION) {
    const [x, y, width, height, does] = scene.stations.subarray(at, at + STATION) as unknown as number[];
    const [left, top] = [(x! - view.x) * unit, (y! - view.y) * unit];
    pen.strokeStyle = colours(does === BLOCKED ? "ink" : does === STARVED ? "alarm" : "power");
    pen.setLineDash(does === STARVED ? [3 * line, 2 * line] : []);
    pen.strokeRect(left + line, top + line, width! * unit - 2 * line, height! * unit - 2 * line);
    if (does === DOWN) {
      pen.beginPath();
      pen.moveTo(left, top);
      pen.lineTo(left + width! * unit, top + height! * unit);
      pen.moveTo(left + width! * unit, top);
      pen.lineTo(left, top + height! * unit);
      pen.stroke();
    } else if (does === BLOCKED) {
      pen.fillStyle = colours("ink");
      pen.fillRect(left, top + height! * unit * 0.86, width! * unit, height! * unit * 0.14);
    }
  }
  pen.setLineDash([]);
}

/** Width of the outline of a station that waits [px of the screen], by the size of a cell. */
export function lineOf(unit: number, dense: number): number {
  return Math.max(dense, Math.min(3 * dense, unit * 0.15));
}
