// What is written over the drawing: what is chosen, pointed out, wrong or on the move.
import type { Finding } from "../messages";
import type { Colours } from "./colours";
import type { Box, Place, Site } from "./site";
import type { View } from "./view";

export interface Notes {
  readonly chosen: Place | null;
  readonly hovered: Place | null;
  /** Belts that are pointed out. */
  readonly pointed: readonly string[];
  readonly findings: readonly Finding[];
  /** A row or device that is being moved, by so many cells. */
  readonly ghost: { readonly box: Box; readonly dx: number; readonly dy: number } | null;
}

export function drawNotes(pen: CanvasRenderingContext2D, site: Site, view: View, colours: Colours, notes: Notes): void {
  pen.setTransform(view.dense, 0, 0, view.dense, 0, 0);
  pen.setLineDash([]);
  for (const name of notes.pointed) trace(pen, site, view, name, colours("alarm"), 2.5, [8, 4]);
  const { chosen, hovered, ghost } = notes;
  if (hovered && hovered !== chosen) mark(pen, site, view, hovered, colours("soft"), 1.5);
  if (chosen) mark(pen, site, view, chosen, colours("focus"), 2.5);
  notes.findings.forEach((finding) => {
    const place = finding.device ? site.places.get(finding.device) : undefined;
    if (place && finding.severity !== "note") flag(pen, view, place, finding, colours);
  });
  if (ghost) {
    const [x, y, width, height] = ghost.box;
    const [px, py] = view.point(x + ghost.dx, y + ghost.dy);
    pen.strokeStyle = colours("focus");
    pen.lineWidth = 2;
    pen.setLineDash([6, 4]);
    pen.strokeRect(px, py, width * view.scale, height * view.scale);
    pen.setLineDash([]);
    pen.fillStyle = colours("ink");
    pen.font = `600 12px "DejaVu Sans", "Liberation Sans", Verdana, Arial, sans-serif`;
    pen.textAlign = "left";
    pen.fillText(`${signed(ghost.dx)} east, ${signed(ghost.dy)} south`, px + 6, py - 6);
  }
}

function signed(value: number): string {
  return value > 0 ? `+${value}` : String(value);
}

function mark(
  pen: CanvasRenderingContext2D, site: Site, view: View, place: Place, colour: string, width: number,
): void { // prettier-ignore
  if (place.kind === "belt") {
    trace(pen, site, view, place.name, colour, width, []);
    return;
  }
  const [x, y, wide, high] = place.box;
  const [px, py] = view.point(x, y);
  const rim = place.kind === "row" ? 4 : 2;
  pen.strokeStyle = colour;
  pen.lineWidth = width;
  pen.strokeRect(px - rim, py - rim, wide * view.scale + 2 * rim, high * view.scale + 2 * rim);
}

/** Two lines along a belt, one on either side. */
function trace(
  pen: CanvasRenderingContext2D, site: Site, view: View, name: string, colour: string, width: number, dash: number[],
): void { // prettier-ignore
  const number = site.floor.belts.findIndex((belt) => belt.name === name);
  if (number < 0) return;
  const path = site.floor.belts[number]!.path;
  const line = new Path2D();
  for (let at = 0; at < path.length; at += 3) {
    const [px, py] = view.point(path[at]! + 0.5, path[at + 1]! + 0.5);
    if (at) line.lineTo(px, py);
    else line.moveTo(px, py);
  }
  pen.save();
  pen.lineCap = "square";
  pen.lineJoin = "miter";
  pen.strokeStyle = colour;
  pen.setLineDash(dash);
  if (view.scale > 5) {
    // a casing: the wide line, and its middle taken out again
    const room = document.createElement("canvas");
    room.width = pen.canvas.width;
    room.height = pen.canvas.height;
    const brush = room.getContext("2d")!;
    brush.setTransform(pen.getTransform());
    brush.lineCap = "square";
    brush.strokeStyle = colour;
    brush.lineWidth = view.scale + 2 * width;
    brush.stroke(line);
    brush.globalCompositeOperation = "destination-out";
    brush.lineWidth = view.scale;
    brush.stroke(line);
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.drawImage(room, 0, 0);
  } else {
    pen.lineWidth = Math.max(3, view.scale);
    pen.globalAlpha = 0.75;
    pen.stroke(line);
  }
  pen.restore();
}

function flag(pen: CanvasRenderingContext2D, view: View, place: Place, finding: Finding, colours: Colours): void {
  const [x, y, width, height] = place.box;
  const [px, py] = view.point(x + width / 2, y + height / 2);
  const role = finding.severity === "error" ? "alarm" : "warn";
  pen.strokeStyle = colours(role);
  pen.lineWidth = 2;
  const [left, top] = view.point(x, y);
  pen.strokeRect(left - 3, top - 3, width * view.scale + 6, height * view.scale + 6);
  pen.fillStyle = colours(role);
  pen.beginPath();
  pen.arc(px, py, 8, 0, 2 * Math.PI);
  pen.fill();
  pen.fillStyle = colours("sheet");
  pen.font = `700 11px "DejaVu Sans", "Liberation Sans", Verdana, Arial, sans-serif`;
  pen.textAlign = "center";
  pen.fillText(finding.severity === "error" ? "✕" : "!", px, py + 4);
}
