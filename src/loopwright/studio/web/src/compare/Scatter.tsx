// Designs as lettered points: what each takes of two things. The sound ones are filled; a line
// joins those of them that no other sound one beats in both.
import { shown } from "../parts/figure";
import { front, words } from "./comparison";
import type { Design, Measure } from "./comparison";

interface Props {
  readonly designs: readonly Design[];
  readonly x: Measure;
  readonly y: Measure;
  readonly chosen: string | null;
  readonly choose: (letter: string) => void;
}

const WIDTH = 560;
const HEIGHT = 330;
const EDGE = { left: 66, top: 30, right: 20, bottom: 46 };
/** Points nearer to each other than that stand side by side [px]. */
const BESIDE = 18;
const HEXAGON = "M10 0L5 8.6H-5L-10 0L-5 -8.6H5Z";

export function Scatter({ designs, x, y, chosen, choose }: Props) {
  const points = designs.flatMap(({ letter, told, sound, figures }) =>
    figures ? [{ letter, told, sound, x: x.of(figures.price), y: y.of(figures.price) }] : [],
  );
  if (points.length === 0) return null;
  const across = axis(points.map((one) => one.x), EDGE.left, WIDTH - EDGE.right);
  const up = axis(points.map((one) => one.y), HEIGHT - EDGE.bottom, EDGE.top);
  const placed = apart(points.map((one) => ({ ...one, at: [across.place(one.x), up.place(one.y)] as const })));
  const best = front(designs, x, y).flatMap((letter) => points.filter((one) => one.letter === letter));
  const steps = best.map((one, at) =>
    at === 0 ? `M${across.place(one.x)} ${up.place(one.y)}` : `H${across.place(one.x)}V${up.place(one.y)}`,
  );
  return (
    <svg class="designs" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={`Designs by ${words(x)} and ${words(y)}`}>
      {up.steps.map((value) => (
        <g key={value}>
          <path class="grid" d={`M${EDGE.left} ${up.place(value)}H${WIDTH - EDGE.right}`} />
          <text class="number" x={EDGE.left - 8} y={up.place(value) + 4} text-anchor="end">
            {shown(value)}
          </text>
        </g>
      ))}
      {across.steps.map((value) => (
        <text key={value} class="number" x={across.place(value)} y={HEIGHT - EDGE.bottom + 18} text-anchor="middle">
          {shown(value)}
        </text>
      ))}
      <path class="frame" d={`M${EDGE.left} ${EDGE.top}V${HEIGHT - EDGE.bottom}H${WIDTH - EDGE.right}`} />
      <text class="number" x={WIDTH - EDGE.right} y={HEIGHT - 8} text-anchor="end">
        {words(x)}
      </text>
      <text class="number" x={8} y={16}>
        {words(y)}
      </text>
      {steps.length > 1 && <path class="front" d={steps.join("")} />}
      {placed.map((one) => (
        <g
          key={one.letter}
          class={`point ${one.sound ? "sound" : "short"} ${one.letter === chosen ? "chosen" : ""}`}
          transform={`translate(${one.at[0]} ${one.at[1]})`}
          role="button"
          tabindex={0}
          aria-pressed={one.letter === chosen}
          aria-label={`${one.letter}: ${one.told}, ${words(x)} ${shown(one.x)}, ${words(y)} ${shown(one.y)}`}
          onClick={() => choose(one.letter)}
          onKeyDown={(event) => {
            if (event.key !== "Enter" && event.key !== " ") return;
            event.preventDefault();
            choose(one.letter);
          }}
        >
          <title>{`${one.letter}: ${one.told}`}</title>
          <path d={HEXAGON} />
          <text y={4} text-anchor="middle">
            {one.letter}
          </text>
        </g>
      ))}
    </svg>
  );
}

interface Place {
  readonly at: readonly [number, number];
  readonly sound: boolean;
}

/** Points that fall on one another, side by side; those that do what they have to come last. */
function apart<Point extends Place>(points: readonly Point[]): Point[] {
  const taken: (readonly [number, number])[] = [];
  return [...points]
    .sort((a, b) => Number(a.sound) - Number(b.sound))
    .map((one) => {
      const [x, y] = one.at;
      const same = taken.filter(([left, top]) => Math.abs(left - x) < BESIDE && Math.abs(top - y) < BESIDE).length;
      taken.push(one.at);
      return { ...one, at: [x + BESIDE * same, y] as const };
    });
}

/** Round numbers round `values`, and where a number lies between two edges [px]. */
function axis(values: readonly number[], first: number, last: number) {
  const most = Math.max(...values);
  const spare = 0.12 * (most - Math.min(...values)) || 0.1 * most || 1;
  const low = Math.max(0, Math.min(...values) - spare);
  const rough = (most + spare - low) / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((one) => one * power >= rough) ?? 10);
  const begin = Math.floor(low / step);
  const end = Math.ceil((most + spare) / step);
  const steps = Array.from({ length: end - begin + 1 }, (_, at) => (begin + at) * step);
  const place = (value: number) =>
    Math.round((first + ((last - first) * (value / step - begin)) / (end - begin)) * 10) / 10;
  return { steps, place };
}
