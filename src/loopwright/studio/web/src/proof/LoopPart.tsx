// Loops of which the same is said: both answers, what is taken for granted, how to bring them back.
import { useState } from "preact/hooks";
import type { Job } from "../messages";
import { Part } from "../parts/Part";
import { Card } from "./Card";
import { printed } from "./inequality";
import { Question } from "./Question";
import type { Group, Laws, Recovered, Verdicts } from "./verdicts";

interface Props {
  readonly group: Group;
  readonly job: Job;
  readonly assumptions: Verdicts["assumptions"];
  readonly laws: Laws | undefined;
  readonly recovered: readonly Recovered[] | undefined;
}

export function LoopPart({ group, job, assumptions, laws, recovered }: Props) {
  const [first] = group.verdicts;
  const [all, setAll] = useState(false);
  if (!first) return null;
  const gate = first.gate ? `${first.gate}, ${first.rule}` : "no gate";
  const note = `${first.kind} of ${first.cells} cells, ${first.stations} stations; ${gate}; ${first.materials.join(", ")}`;
  const others = group.loops.length - 1;
  return (
    <Part
      name={first.loop}
      note={note}
      tools={
        others > 0 && (
          <button class="plain" aria-expanded={all} onClick={() => setAll(!all)}>
            and {others} alike
          </button>
        )
      }
    >
      {all && <p class="soft">The same is said of {group.loops.slice(1).join(", ")}.</p>}
      <div class="questions">
        {group.verdicts.map((verdict, at) => (
          <Question
            key={verdict.question}
            verdict={verdict}
            job={job}
            before={group.verdicts[at - 1]}
          />
        ))}
      </div>
      <Given group={group} assumptions={assumptions} />
      {laws && laws.rows.length > 0 && <LawTable laws={laws} />}
      {recovered?.map((one) => <Card key={one.title} recovered={one} />)}
    </Part>
  );
}

/** The assumptions of the proofs, spelt out, and which answer needs each. */
function Given({ group, assumptions }: { group: Group; assumptions: Verdicts["assumptions"] }) {
  const claims = group.verdicts.filter((one) => one.claim);
  const names = [...new Set(claims.flatMap((one) => one.claim?.given ?? []))].sort();
  if (names.length === 0) return null;
  return (
    <>
      <h3 class="granted">Taken for granted</h3>
      <table class="granted" aria-label="Assumptions of the proofs">
        <tbody>
          {names.map((name) => {
            const by = claims.filter((one) => one.claim?.given.includes(name));
            return (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td>{assumptions[name]}</td>
                <td class="soft">{by.length === claims.length ? "" : by.map((one) => one.question).join(", ")}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </>
  );
}

const HEADS = ["law", "of", "predicted", "measured", "because"] as const;

/** Load, stock, harmless outages, time to jam: predicted, where a law speaks. */
function LawTable({ laws }: { laws: Laws }) {
  return (
    <details class="laws">
      <summary>What the laws predict: load, how long stock lasts, which outages are harmless</summary>
      <div class="scroll">
        <table aria-label="Laws">
          <thead>
            <tr>
              {HEADS.map((head) => (
                <th key={head} scope="col">
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {laws.rows.map((row, at) => (
              <tr key={at}>
                {row.map((cell, column) => (
                  <td key={column}>{column > 1 ? printed(cell) : cell}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
