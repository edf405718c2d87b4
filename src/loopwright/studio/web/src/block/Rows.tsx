// The rows of a design as bars, drawn for the height of a line of the table.
import type { Block } from "../messages";

const WIDTH = 84;
const HEIGHT = 30;
/** Rows that are drawn; dots stand for the others. */
const MOST = 4;
const STEP = 6;
/** Where bars begin, and the length of the longest row. */
const LEFT = 5;
const LENGTH = 70;

interface Bar {
  readonly y: number;
  readonly stations: number;
  readonly extra: boolean;
}

export function Rows({ block, name }: { readonly block: Block; readonly name: string }) {
  const { design } = block;
  const extra = Math.min(design.make_up, 1);
  const mains = Math.min(design.lanes, MOST - extra);
  const more = design.lanes > mains;
  const bars: Bar[] = [];
  for (let at = 0; at < mains; at += 1) bars.push({ y: at * STEP, stations: design.row, extra: false });
  if (extra) bars.push({ y: mains * STEP + (more ? 4 : 0), stations: design.make_up_row, extra: true });
  const longest = Math.max(design.row, design.make_up_row);
  return (
    <svg class="rows-drawn" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={name}>
      {bars.map(({ y, stations, extra: last }, at) => {
        const end = LEFT + Math.max(2, (stations / longest) * LENGTH);
        // two rows round one output: the second has its lane below
        const under = block.sides === "double" && !last && at % 2 === 1;
        return (
          <g key={at}>
            <rect class={last ? "row extra" : "row"} x={LEFT} y={y + (under ? 0.6 : 2.6)} width={end - LEFT} height={2.6} />
            <path class="lane" d={path(block.architecture, y + (under ? 4.8 : 1), end)} />
          </g>
        );
      })}
      {more && <path class="more" d={`M${LEFT + 2} ${mains * STEP + 2}h0m5 0h0m5 0h0`} />}
    </svg>
  );
}

/** A lane along a row: it returns in a loop, goes on in a pass, ends where each material has its own. */
function path(architecture: string, y: number, end: number): string {
  if (architecture === "loop") return `M${end + 3} ${y + 1.6}V${y}H${LEFT - 3}V${y + 1.6}`;
  if (architecture === "pass") return `M${LEFT - 3} ${y}H${end + 8}`;
  return `M${LEFT - 3} ${y}H${end}`;
}
