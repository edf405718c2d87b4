// The drawing of the floor, as it is printed: what lies under the carriers, and what over them.
import type { Floor, FloorMarks, FloorWords, Look } from "../messages";
import type { Colours } from "./colours";
import type { Layers } from "./layers";
import type { Box } from "./site";
import type { View } from "./view";

/** Layers of the drawing under the carriers; all others lie over them. */
const UNDER: readonly string[] = ["obstacles", "belts", "stations", "stores", "pickers", "bridges"];
/** Which switch of the page shows a layer of the drawing; none: always shown. */
const SWITCH: Readonly<Record<string, keyof Layers>> = {
  belts: "belts", bridges: "belts", flow: "belts", merges: "belts", "side merges": "belts", diverts: "belts",
  gates: "belts", stations: "stations", stores: "stations", applicators: "stations", pickers: "pickers", power: "power",
}; // prettier-ignore
/** Zoom from which arrows lie under the carriers: what moves shows the way by itself then. */
const ARROWS_UNDER = 9;
/** Lines do not become thicker than this, however near one is [px]. */
const THICKEST = 1.8;
/** What is laid inside a wider line in another ink, so that a rim of that is left. */
const INSIDE: Readonly<Record<string, string>> = { "belt-empty": "belt-edge", deck: "rail" };
/** Words smaller than this are left out [px]. */
const LEGIBLE = 6.5;
/** Zoom below which arrows and pickers would only be dirt [px a cell]. */
const ARROWS_FROM = 2.2;

interface Drawn {
  readonly marks: FloorMarks;
  readonly look: Look;
  readonly path: Path2D;
  readonly dots: Path2D | null;
}

export class Sheet {
  private readonly drawn: readonly Drawn[];

  constructor(private readonly floor: Floor) {
    this.drawn = floor.marks.map((marks) => ({
      marks,
      look: floor.looks[marks.ink]!,
      path: pathOf(marks),
      dots: marks.dot ? dotsOf(marks) : null,
    }));
  }

  /** Draw what lies under the carriers, or over them. */
  draw(pen: CanvasRenderingContext2D, view: View, colours: Colours, layers: Layers, over: boolean): void {
    const unit = view.scale * view.dense;
    const patterns = new Map<string, CanvasPattern | string>();
    for (const one of this.drawn) {
      const layer = one.marks.layer;
      const under = UNDER.includes(layer) || (layer === "flow" && view.scale >= ARROWS_UNDER);
      if (under === over || !isOn(layer, layers)) continue;
      if (layer === "flow" && view.scale < ARROWS_FROM) continue;
      pen.setTransform(unit, 0, 0, unit, -view.x * unit, -view.y * unit);
      this.shape(pen, one, view, colours, patterns);
    }
    for (const words of this.floor.words) {
      if (UNDER.includes(words.layer) === over || !isOn(words.layer, layers)) continue;
      if (layers.names || words.ink === "strong") this.words(pen, words, view, colours);
    }
    pen.setTransform(1, 0, 0, 1, 0, 0);
  }

  private shape(
    pen: CanvasRenderingContext2D, one: Drawn, view: View, colours: Colours,
    patterns: Map<string, CanvasPattern | string>,
  ): void { // prettier-ignore
    const { look, path, dots } = one;
    if (look.fill) {
      let paint = patterns.get(look.fill);
      if (paint === undefined) patterns.set(look.fill, (paint = this.paint(pen, look.fill, colours)));
      pen.fillStyle = paint;
      pen.fill(path);
    }
    if (!look.stroke) return;
    const pixel = 1 / view.scale;
    pen.strokeStyle = colours(look.stroke);
    pen.lineWidth = this.width(one.marks.ink, look, pixel);
    pen.setLineDash(look.dash.map((part) => (look.hair ? part * pixel : part)));
    pen.lineJoin = "miter";
    pen.stroke(path);
    pen.setLineDash([]);
    if (dots) {
      pen.fillStyle = colours(look.stroke);
      pen.fill(dots);
    }
  }

  /** The width of a line [cells]; `pixel` is one of the page. */
  private width(ink: string, look: Look, pixel: number): number {
    if (look.hair) return look.width * pixel;
    const round = INSIDE[ink] && this.floor.looks[INSIDE[ink]];
    if (round) return Math.max(look.width, round.width - 2 * THICKEST * pixel);
    if (look.width > 0.3) return look.width;
    return Math.max(Math.min(look.width, THICKEST * pixel), 0.45 * pixel);
  }

  private paint(pen: CanvasRenderingContext2D, fill: string, colours: Colours): CanvasPattern | string {
    if (fill === "ground") return tiled(pen, 0.6, 6, "M-1 7L7 -1M-1 1L1 -1M5 7L7 5", colours("faint"), null);
    if (!fill.startsWith("hatch")) return colours(fill);
    const number = Number(fill.slice(5)) - 1;
    const colour = number % 8 + 1;
    const material = this.floor.materials.find((one) => one.colour === colour);
    if (!material?.hatch) return colours(`material${colour}`);
    return tiled(pen, 0.4, 4, material.hatch, colours(material.over), colours(`material${colour}`));
  }

  private words(pen: CanvasRenderingContext2D, words: FloorWords, view: View, colours: Colours): void {
    const look = this.floor.looks[words.ink]!;
    pen.fillStyle = colours(look.fill || "ink");
    pen.textAlign = words.anchor === "start" ? "left" : words.anchor === "end" ? "right" : "center";
    pen.textBaseline = "alphabetic";
    const unit = view.scale * view.dense;
    let high = 0;
    words.words.forEach((word, number) => {
      const [x, y, size] = [0, 1, 2].map((part) => words.places[number * 3 + part]!) as [number, number, number];
      if (size * view.scale < LEGIBLE) return;
      const [px, py] = view.point(x, y);
      if (px < -80 || py < -40 || px > view.width + 80 || py > view.height + 40) return;
      if (high !== size) {
        high = size;
        pen.font = `${look.bold ? 700 : 400} ${size * unit}px "DejaVu Sans", "Liberation Sans", Verdana, Arial, sans-serif`;
      }
      pen.setTransform(1, 0, 0, 1, px * view.dense, py * view.dense);
      if (words.angle) pen.rotate((words.angle * Math.PI) / 180);
      if (look.halo) {
        pen.strokeStyle = colours("sheet");
        pen.lineWidth = look.halo * unit;
        pen.lineJoin = "round";
        pen.strokeText(word, 0, size * unit * 0.36);
      }
      pen.fillText(word, 0, size * unit * 0.36);
    });
  }
}

function isOn(layer: string, layers: Layers): boolean {
  const name = SWITCH[layer];
  return !name || layers[name];
}

function pathOf(marks: FloorMarks): Path2D {
  const path = new Path2D();
  for (const points of marks.points) {
    path.moveTo(points[0]!, points[1]!);
    for (let at = 2; at < points.length; at += 2) path.lineTo(points[at]!, points[at + 1]!);
    if (marks.closed) path.closePath();
  }
  return path;
}

function dotsOf(marks: FloorMarks): Path2D {
  const path = new Path2D();
  for (const points of marks.points) {
    const [x, y] = [points[points.length - 2]!, points[points.length - 1]!];
    path.moveTo(x + marks.dot, y);
    path.arc(x, y, marks.dot, 0, 2 * Math.PI);
  }
  return path;
}

/** A pattern of lines on tiles of `side` cells, drawn on `units` x `units`. */
function tiled(
  pen: CanvasRenderingContext2D, side: number, units: number, lines: string, colour: string, ground: string | null,
): CanvasPattern | string { // prettier-ignore
  const size = 48;
  const tile = document.createElement("canvas");
  tile.width = tile.height = size;
  const brush = tile.getContext("2d")!;
  if (ground) {
    brush.fillStyle = ground;
    brush.fillRect(0, 0, size, size);
  }
  brush.scale(size / units, size / units);
  brush.strokeStyle = colour;
  brush.lineWidth = 0.7;
  brush.stroke(new Path2D(lines));
  const pattern = pen.createPattern(tile, "repeat");
  pattern?.setTransform(new DOMMatrix().scale(side / size));
  return pattern ?? ground ?? colour;
}

const FINE = [1, 2, 5, 10, 20, 50, 100];

/** A square grid with a line every so many cells that it stays quiet. */
export function drawGrid(pen: CanvasRenderingContext2D, view: View, colours: Colours, site: Box): void {
  const every = FINE.find((step) => step * view.scale >= 9) ?? 200;
  const [left, top, wide, high] = site;
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.lineWidth = 1;
  for (const [step, role] of [[every, "grid"], [every * 10, "faint"]] as const) {
    pen.strokeStyle = colours(role);
    pen.globalAlpha = role === "faint" ? 0.35 : 1;
    pen.beginPath();
    for (let x = left; x <= left + wide; x += step) {
      const px = Math.round((x - view.x) * view.scale * view.dense) + 0.5;
      pen.moveTo(px, Math.max(0, (top - view.y) * view.scale * view.dense));
      pen.lineTo(px, (top + high - view.y) * view.scale * view.dense);
    }
    for (let y = top; y <= top + high; y += step) {
      const py = Math.round((y - view.y) * view.scale * view.dense) + 0.5;
      pen.moveTo(Math.max(0, (left - view.x) * view.scale * view.dense), py);
      pen.lineTo((left + wide - view.x) * view.scale * view.dense, py);
    }
    pen.stroke();
  }
  pen.globalAlpha = 1;
  pen.strokeStyle = colours("soft");
  const [px, py] = view.point(left, top);
  pen.strokeRect(px * view.dense, py * view.dense, wide * view.scale * view.dense, high * view.scale * view.dense);
}
