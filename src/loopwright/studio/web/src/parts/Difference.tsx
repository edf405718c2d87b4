// Two texts in one column: lines that came, lines that have gone, and a few around them.
import type { ComponentChildren } from "preact";
import { compareLines } from "./lines";
import type { Run } from "./lines";

interface Props {
  readonly from: string;
  readonly to: string;
  readonly name: string;
  /** Lines that agree which are shown before and after a difference. */
  readonly around?: number;
}

export function Difference({ from, to, name, around = 3 }: Props) {
  const found = compareLines(from, to);
  if (found.every((run) => run.same)) return <p class="soft">Both texts are the same.</p>;
  return (
    <div class="difference" role="region" aria-label={name} tabIndex={0}>
      <table>
        <tbody>{found.map((run, at) => (run.same ? calm(run, around, at === 0, at === found.length - 1) : both(run)))}</tbody>
      </table>
    </div>
  );
}

function both(run: Run): ComponentChildren {
  return [
    ...run.left.map((line, at) => <Line key={`l${run.leftAt + at}`} sign="−" was={run.leftAt + at + 1} text={line} />),
    ...run.right.map((line, at) => <Line key={`r${run.rightAt + at}`} sign="+" is={run.rightAt + at + 1} text={line} />),
  ];
}

function calm(run: Run, around: number, first: boolean, last: boolean): ComponentChildren {
  const lines = run.right.map((line, at) => (
    <Line key={`r${run.rightAt + at}`} sign="" was={run.leftAt + at + 1} is={run.rightAt + at + 1} text={line} />
  ));
  const head = first ? 0 : around;
  const tail = last ? 0 : around;
  const left = lines.length - head - tail;
  if (left < 2) return lines;
  return [
    ...lines.slice(0, head),
    <tr key={`gap${run.leftAt}`} class="gap">
      <td colSpan={4}>{left} lines that agree</td>
    </tr>,
    ...lines.slice(lines.length - tail),
  ];
}

interface LineProps {
  readonly sign: string;
  readonly was?: number;
  readonly is?: number;
  readonly text: string;
}

function Line({ sign, was, is, text }: LineProps) {
  return (
    <tr class={sign === "+" ? "come" : sign ? "gone" : ""}>
      <td class="number">{was}</td>
      <td class="number">{is}</td>
      <td class="sign">{sign}</td>
      <td class="text">{text || " "}</td>
    </tr>
  );
}
