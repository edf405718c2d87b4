// One line of a proof, with a bar that holds its two figures against each other.
import { shown } from "../parts/figure";
import { inequality, printed } from "./inequality";
import type { Inequality } from "./inequality";

const WIDTH = 120;

export function Line({ topic, text }: { topic?: string; text: string }) {
  const held = inequality(text);
  return (
    <tr>
      {topic !== undefined && <th scope="row">{topic}</th>}
      <td class="said" colSpan={held ? 1 : 2}>
        {printed(text)}
      </td>
      {held && (
        <td class="held">
          <Bar held={held} />
        </td>
      )}
    </tr>
  );
}

function Bar({ held }: { held: Inequality }) {
  const { value, limit, most } = held;
  const scale = (WIDTH - 2) / Math.max(value, limit, 1e-9);
  const at = Math.round(limit * scale) + 0.5;
  const told = `${shown(value)} of ${most ? "at most" : "at least"} ${shown(limit)}`;
  return (
    <svg class="against" width={WIDTH} height={13} role="img" aria-label={told}>
      <title>{told}</title>
      <path class="base" d={`M0.5 10.5H${WIDTH}`} />
      <rect class="value" x={0.5} y={4} width={Math.max(1, value * scale)} height={6.5} />
      <path class="limit" d={`M${at} 0V13`} />
    </svg>
  );
}
