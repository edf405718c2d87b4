// One design, and what changes when it is chosen.
import type { Block, BlockDesign } from "../messages";
import { Drawing } from "../parts/Drawing";
import { Figure } from "../parts/Figure";
import { shown, valueOf } from "../parts/figure";
import { Part } from "../parts/Part";

interface Props {
  readonly design: BlockDesign;
  readonly chosen: BlockDesign | null;
  readonly take: () => void;
  readonly name: string;
}

export function Look({ design, chosen, take, name }: Props) {
  const same = design.key === chosen?.key;
  const button = (
    <button class="main" disabled={same} onClick={take}>
      {same ? "Chosen" : "Choose this"}
    </button>
  );
  return (
    <div class="look">
      <Part name={name} tools={button}>
        <Drawing svg={design.picture} name={`Rows of ${name}`} class="drawing" />
        <p>{design.block.reason}</p>
        {chosen && !same ? <Changes from={chosen} to={design} /> : <Counts block={design.block} />}
      </Part>
    </div>
  );
}

function Changes({ from, to }: { readonly from: BlockDesign; readonly to: BlockDesign }) {
  const [before, after] = [countsOf(from.block), countsOf(to.block)];
  const names = [...new Set([...before.keys(), ...after.keys()])];
  const choices = Object.entries(to.choices);
  return (
    <>
      <h3>What changes</h3>
      <table aria-label="What changes">
        <thead>
          <tr>
            <th scope="col">count</th>
            <th scope="col" class="figure">
              chosen
            </th>
            <th scope="col" class="figure">
              this
            </th>
            <th scope="col" class="figure">
              difference
            </th>
          </tr>
        </thead>
        <tbody>
          {names.map((name) => {
            const [was, is] = [before.get(name) ?? "0", after.get(name) ?? "0"];
            const by = (valueOf(is) ?? 0) - (valueOf(was) ?? 0);
            return (
              <tr key={name} class={by === 0 ? "idle" : ""}>
                <td>{name}</td>
                <td class="figure">
                  <Figure value={was} />
                </td>
                <td class="figure">
                  <Figure value={is} />
                </td>
                <td class="figure">{by === 0 ? "–" : `${by > 0 ? "+" : "−"}${shown(Math.abs(by))}`}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <p class="choices">
        Choosing it writes{" "}
        {choices.map(([key, value], at) => (
          <span key={key}>
            {at > 0 && ", "}
            <code>
              {key}: {value ?? "auto"}
            </code>
          </span>
        ))}
        .
      </p>
    </>
  );
}

function Counts({ block }: { readonly block: Block }) {
  return (
    <table aria-label="Counts">
      <tbody>
        {[...countsOf(block)].map(([name, value]) => (
          <tr key={name}>
            <td>{name}</td>
            <td class="figure">
              <Figure value={value} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function countsOf({ counts, design }: Block): ReadonlyMap<string, string | number> {
  return new Map<string, string | number>([
    ["rows", design.lanes + design.make_up],
    ["stations", counts.stations],
    ["lanes", counts.lanes],
    ["output belts", counts.outputs],
    ["pickers", counts.pickers],
    ...counts.supplies.map(([material, belts]): [string, string] => [`belts of ${material}`, belts]),
    ["effort", counts.effort],
    ["power [kW]", counts.power],
  ]);
}
