// The mix on a belt, cell by cell, from tail to head: how often each material lay there.
import { useEffect, useRef } from "preact/hooks";
import { theme } from "../state/theme";
import { readColours } from "./colours";
import { site } from "./state";

const HEIGHT = 54;

export function Mix({ mix }: { mix: readonly (readonly number[])[] }) {
  const place = useRef<HTMLCanvasElement>(null);
  const shade = theme.value;
  useEffect(() => {
    const canvas = place.current;
    if (canvas) draw(canvas, mix);
  }, [mix, shade]);
  const materials = site.value?.floor.materials ?? [];
  const means = materials.map((one, number) => {
    const share = mix.reduce((sum, cell) => sum + (cell[number] ?? 0), 0) / mix.length;
    return share >= 0.005 ? `${one.letter} ${Math.round(100 * share)} %` : "";
  });
  const words = means.filter(Boolean).join(", ") || "nothing";
  return (
    <figure class="mix">
      <figcaption>
        mix by cell in the last minutes: <b>{words}</b>
      </figcaption>
      <canvas ref={place} height={HEIGHT} role="img" aria-label={`Mix on the belt: ${words}`} />
      <div class="ends soft">
        <span>tail</span>
        <span>{mix.length} cells</span>
        <span>head</span>
      </div>
    </figure>
  );
}

function draw(canvas: HTMLCanvasElement, mix: readonly (readonly number[])[]): void {
  const dense = Math.min(2, window.devicePixelRatio || 1);
  const [width, height] = [canvas.clientWidth, HEIGHT];
  canvas.width = width * dense;
  canvas.height = height * dense;
  const pen = canvas.getContext("2d")!;
  pen.scale(dense, dense);
  const colours = readColours();
  pen.fillStyle = colours("sheet");
  pen.fillRect(0, 0, width, height);
  const materials = site.value?.floor.materials ?? [];
  const paints = materials.map((one) => paint(pen, colours(`material${one.colour}`), one.hatch, colours(one.over)));
  mix.forEach((cell, at) => {
    const [left, right] = [(at / mix.length) * width, ((at + 1) / mix.length) * width];
    let foot = height;
    cell.forEach((share, number) => {
      const high = share * height;
      pen.fillStyle = paints[number] ?? "#808080";
      pen.fillRect(left, foot - high, right - left + 0.4, high);
      foot -= high;
    });
  });
  pen.strokeStyle = colours("edge");
  pen.strokeRect(0.5, 0.5, width - 1, height - 1);
}

function paint(pen: CanvasRenderingContext2D, colour: string, hatch: string, line: string): CanvasPattern | string {
  const tile = document.createElement("canvas");
  tile.width = tile.height = 12;
  const brush = tile.getContext("2d")!;
  brush.fillStyle = colour;
  brush.fillRect(0, 0, 12, 12);
  if (!hatch) return colour;
  brush.scale(3, 3);
  brush.strokeStyle = line;
  brush.lineWidth = 0.6;
  brush.stroke(new Path2D(hatch));
  const pattern = pen.createPattern(tile, "repeat");
  pattern?.setTransform(new DOMMatrix().scale(0.5));
  return pattern ?? colour;
}
