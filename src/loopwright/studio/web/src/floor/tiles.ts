// Carriers as small pictures: colour, hatch and letter of the material, filled as far as it is loaded.
import type { FloorMaterial } from "../messages";
import type { Colours } from "./colours";

/** Least size of a cell [px] at which hatches are drawn, and letters. */
const HATCHED = 7;
const LETTERED = 15;
const MOST_UNITS = 16;

/** Pictures in rows of a sheet: a row a material, a column for each number of units. `cell` [px]. */
export interface Tiles {
  readonly picture: HTMLCanvasElement;
  readonly cell: number;
  readonly columns: number;
  readonly rows: number;
}

/** Pictures for cells of `size` [px of the screen]. */
export function drawTiles(materials: readonly FloorMaterial[], size: number, colours: Colours): Tiles {
  const cell = Math.max(2, Math.min(96, Math.round(size)));
  const picture = document.createElement("canvas");
  picture.width = cell * MOST_UNITS;
  picture.height = cell * Math.max(1, materials.length);
  const pen = picture.getContext("2d")!;
  materials.forEach((material, row) => {
    for (let units = 1; units < MOST_UNITS; units += 1) {
      pen.save();
      pen.translate(units * cell, row * cell);
      drawCarrier(pen, material, Math.min(1, units / material.stack), cell, colours);
      pen.restore();
    }
  });
  return { picture, cell, columns: MOST_UNITS, rows: Math.max(1, materials.length) };
}

function drawCarrier(
  pen: CanvasRenderingContext2D, material: FloorMaterial, full: number, cell: number, colours: Colours,
): void { // prettier-ignore
  const rim = cell < 5 ? 0 : cell < 12 ? 1 : Math.round(cell * 0.1);
  const side = cell - 2 * rim;
  const colour = colours(`material${material.colour}`);
  if (cell < HATCHED) {
    pen.globalAlpha = 0.65 + 0.35 * full;
    pen.fillStyle = colour;
    pen.fillRect(rim, rim, side - (cell > 2 && cell < 5 ? 1 : 0), side - (cell === 4 ? 1 : 0));
    return;
  }
  pen.fillStyle = colours("sheet");
  pen.fillRect(rim, rim, side, side);
  const high = Math.max(2, Math.round(side * full));
  pen.save();
  pen.beginPath();
  pen.rect(rim, rim + side - high, side, high);
  pen.clip();
  pen.fillStyle = colour;
  pen.fillRect(rim, rim, side, side);
  if (material.hatch) hatch(pen, material, cell, colours);
  pen.restore();
  const line = Math.max(1, Math.min(2, Math.round(cell / 26)));
  pen.strokeStyle = colours("ink");
  pen.lineWidth = line;
  pen.strokeRect(rim + line / 2, rim + line / 2, side - line, side - line);
  if (cell >= LETTERED) letter(pen, material, cell, colours);
}

function hatch(
  pen: CanvasRenderingContext2D, material: FloorMaterial, cell: number, colours: Colours,
): void { // prettier-ignore
  const unit = Math.max(1, cell / 14);
  const path = new Path2D(material.hatch);
  pen.strokeStyle = colours(material.over);
  pen.globalAlpha = 0.75;
  pen.lineWidth = 0.7;
  for (let y = 0; y < cell / unit; y += 4) {
    for (let x = 0; x < cell / unit; x += 4) {
      pen.save();
      pen.scale(unit, unit);
      pen.translate(x, y);
      pen.beginPath();
      pen.rect(0, 0, 4, 4);
      pen.clip();
      pen.stroke(path);
      pen.restore();
    }
  }
  pen.globalAlpha = 1;
}

function letter(
  pen: CanvasRenderingContext2D, material: FloorMaterial, cell: number, colours: Colours,
): void { // prettier-ignore
  const high = Math.round(cell * (material.letter.length > 1 ? 0.42 : 0.56));
  pen.font = `700 ${high}px "DejaVu Sans", "Liberation Sans", Verdana, Arial, sans-serif`;
  pen.textAlign = "center";
  pen.textBaseline = "alphabetic";
  pen.lineJoin = "round";
  pen.lineWidth = Math.max(2.5, Math.min(6, cell * 0.15));
  pen.strokeStyle = colours("sheet");
  pen.strokeText(material.letter, cell / 2, cell / 2 + high * 0.37);
  pen.fillStyle = colours("ink");
  pen.fillText(material.letter, cell / 2, cell / 2 + high * 0.37);
}
