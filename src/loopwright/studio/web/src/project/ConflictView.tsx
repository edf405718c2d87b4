// Two texts of one file: what was written here, and what someone else wrote meanwhile.
import { useMemo, useState } from "preact/hooks";
import { compareLines } from "../parts/lines";
import type { Run } from "../parts/lines";
import { conflict, loaded, saved, settle, text } from "../state/document";

type Choice = "mine" | "theirs";

export function ConflictView() {
  const theirs = conflict.value?.theirs ?? "";
  const mine = text.value;
  const found = useMemo(() => compareLines(mine, theirs), [mine, theirs]);
  const [picked, setPicked] = useState<Readonly<Record<number, Choice>>>({});
  const base = saved.value?.text ?? mine;
  const own = useMemo(() => compareLines(base, mine).filter((run) => !run.same), [base, mine]);
  const places = found.filter((run) => !run.same).length;
  const choiceAt = (run: Run, at: number): Choice => picked[at] ?? (own.some((one) => touches(one, run)) ? "mine" : "theirs");

  function stands(): string {
    const lines = found.flatMap((run, at) => (run.same || choiceAt(run, at) === "mine" ? run.left : run.right));
    return lines.join("\n");
  }

  return (
    <div class="conflict">
      <header>
        <h1>Two texts of {loaded.value}</h1>
        <p>
          The file was changed elsewhere while it was changed here, on the same lines. Nothing is lost: choose a text as a whole, or
          place by place. Where only theirs was changed, theirs is picked.
        </p>
        <div class="bar">
          <button onClick={() => settle(mine)}>Keep mine</button>
          <button onClick={() => settle(theirs)}>Take theirs</button>
          <button class="main" onClick={() => settle(stands())}>
            Take what is picked below and go on editing
          </button>
          <span class="soft">
            {places} {places === 1 ? "place differs" : "places differ"}
          </span>
        </div>
      </header>
      <div class="both" role="region" aria-label="Both texts" tabIndex={0}>
        <table>
          <colgroup>
            <col class="number" />
            <col />
            <col class="number" />
            <col />
          </colgroup>
          <thead>
            <tr>
              <th colSpan={2}>mine</th>
              <th colSpan={2}>theirs</th>
            </tr>
          </thead>
          {found.map((run, at) =>
            run.same ? (
              <Same key={at} run={run} head={at === 0 ? 0 : AROUND} tail={at === found.length - 1 ? 0 : AROUND} />
            ) : (
              <Differing
                key={at}
                run={run}
                number={at}
                choice={choiceAt(run, at)}
                choose={(choice) => setPicked({ ...picked, [at]: choice })}
              />
            ),
          )}
        </table>
      </div>
    </div>
  );
}

/** Whether what was changed here, `own`, has to do with the place `run` of both texts. */
function touches(own: Run, run: Run): boolean {
  return own.rightAt <= run.leftAt + run.left.length && run.leftAt <= own.rightAt + own.right.length;
}

/** Lines that agree and are shown around a difference. */
const AROUND = 3;

interface SameProps {
  readonly run: Run;
  /** Lines that are shown at either end. */
  readonly head: number;
  readonly tail: number;
}

function Same({ run, head, tail }: SameProps) {
  const count = run.left.length;
  const left = count - head - tail;
  const folded = left > 1;
  const all = [...run.left.keys()];
  const rows = folded ? [...all.slice(0, head), ...all.slice(count - tail)] : all;
  const gap = (
    <tr class="gap" key="gap">
      <td colSpan={4}>{left} lines that agree</td>
    </tr>
  );
  return (
    <tbody>
      {folded && head === 0 && gap}
      {rows.map((at, place) => [
        folded && head > 0 && place === head && gap,
        <tr key={at}>
          <td class="number">{run.leftAt + at + 1}</td>
          <td class="text">{run.left[at] || " "}</td>
          <td class="number">{run.rightAt + at + 1}</td>
          <td class="text">{run.right[at] || " "}</td>
        </tr>,
      ])}
      {folded && head > 0 && tail === 0 && gap}
    </tbody>
  );
}

interface DifferingProps {
  readonly run: Run;
  readonly number: number;
  readonly choice: Choice;
  readonly choose: (choice: Choice) => void;
}

function Differing({ run, number, choice, choose }: DifferingProps) {
  const rows = Math.max(run.left.length, run.right.length);
  const radio = (of: Choice) => (
    <label>
      <input type="radio" name={`place${number}`} checked={choice === of} onChange={() => choose(of)} /> {of} here
    </label>
  );
  return (
    <tbody class={`differing ${choice}`}>
      <tr class="pick">
        <td colSpan={2}>{radio("mine")}</td>
        <td colSpan={2}>{radio("theirs")}</td>
      </tr>
      {[...Array(rows).keys()].map((at) => (
        <tr key={at}>
          <td class="number">{at < run.left.length ? run.leftAt + at + 1 : ""}</td>
          <td class="text left">{at < run.left.length ? run.left[at] || " " : ""}</td>
          <td class="number">{at < run.right.length ? run.rightAt + at + 1 : ""}</td>
          <td class="text right">{at < run.right.length ? run.right[at] || " " : ""}</td>
        </tr>
      ))}
    </tbody>
  );
}
