// Every way to split the stations into rows: compared, looked at, chosen.
import "./block.css";
import { effect, signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { Block, BlockDesign, Blocks } from "../messages";
import { Figure, Share } from "../parts/Figure";
import { valueOf } from "../parts/figure";
import { FindingList } from "../parts/FindingList";
import { Part } from "../parts/Part";
import { Table } from "../parts/Table";
import type { Column } from "../parts/Table";
import { Unsound } from "../parts/Unsound";
import { showFinding } from "../project/go";
import { loaded, sound, text } from "../state/document";
import { setChoices } from "../state/edit";
import { present } from "../state/jobs";
import { Latest } from "../state/latest";
import { Look } from "./Look";
import { ProcessChoice } from "./ProcessChoice";
import { Rows } from "./Rows";

const blocks = new Latest<Blocks>("/api/blocks");
/** The design that is looked at; null for the one that the file chooses. */
const looked = signal<{ readonly file: string; readonly key: string } | null>(null);

function lookAt(design: BlockDesign): void {
  looked.value = { file: loaded.value, key: design.key };
}

const COLUMNS: readonly Column<BlockDesign>[] = [
  { name: "drawn", cell: (one) => <Rows block={one.block} name={`Rows of ${naming(one)}`} /> },
  { name: "architecture", cell: architecture, by: ({ block }) => block.architecture },
  { name: "sides", cell: ({ block }) => block.sides, by: ({ block }) => block.sides },
  figures("rows", ({ design }) => design.lanes + design.make_up),
  figures("of stations", ({ design }) => design.row),
  { name: "make-up rows", figure: true, cell: makeUp, by: ({ block }) => block.design.make_up },
  {
    name: "belt fill",
    figure: true,
    cell: ({ block }) => <Share of={block.design.fill} />,
    by: ({ block }) => block.design.fill,
  },
  figures("stations", ({ counts }) => counts.stations),
  figures("pickers", ({ counts }) => counts.pickers),
  figures("output belts", ({ counts }) => counts.outputs),
  figures("effort", ({ counts }) => counts.effort),
  figures("power [kW]", ({ counts }) => counts.power),
  {
    name: "closed",
    cell: ({ block }) => (block.design.closed ? "yes" : "no"),
    by: ({ block }) => (block.design.closed ? 0 : 1),
  },
];

export function BlockPage() {
  useEffect(
    () =>
      effect(() => {
        if (sound.value && present.value) blocks.ask(loaded.value, { text: text.value });
      }),
    [],
  );
  const told = blocks.of.value === loaded.value ? blocks.answer.value : null;
  const chosen = told?.designs.find((one) => one.key === told.chosen);
  const at = looked.value?.file === loaded.value ? looked.value.key : "";
  const here = told?.designs.find((one) => one.key === at) ?? chosen ?? told?.designs[0];
  return (
    <div class="block-page">
      <h1 class="unseen">Block of {loaded.value}</h1>
      <Unsound old={told !== null} />
      <ProcessChoice />
      {blocks.fault.value && (
        <p class="note alarm" role="alert">
          {blocks.fault.value}
        </p>
      )}
      {!told && sound.value && !blocks.fault.value && <p class="soft">{blocks.late.value ? "Splitting stations into rows" : ""}</p>}
      {told?.site && (
        <p class="note">
          The floor of this file is a site (<code>choices.scope</code>): a section for every process of the plan, with rows
          as its width allows. Here is one process as a block on its own; the floor may have other rows.
        </p>
      )}
      {told && told.chosen === null && (
        <p class="note warn">
          {told.designs.length > 0
            ? "What the file chooses cannot be built. The findings say why; any of the designs below can be chosen instead."
            : "No design of the block is possible with the file as it is. The findings say what stands in the way."}
        </p>
      )}
      {told && told.findings.length > 0 && (
        <Part name={told.chosen === null ? "What stands in the way" : "To look at in the chosen design"}>
          <FindingList findings={told.findings} show={showFinding} />
        </Part>
      )}
      {told && told.designs.length > 0 && (
        <div class="block-columns">
          <Part name="Designs" note={note(told, chosen)}>
            <Table
              label="Designs of the block"
              columns={COLUMNS}
              rows={told.designs}
              id={(one) => one.key}
              chosen={here?.key ?? ""}
              choose={lookAt}
              take={take}
              look={(one) => (one.key === told.chosen ? "chosen" : "")}
            />
          </Part>
          {here && <Look design={here} chosen={chosen ?? null} take={() => take(here)} name={naming(here)} />}
        </div>
      )}
      {told && told.refused.length > 0 && (
        <Part name="Not possible, and why">
          <FindingList findings={told.refused} show={showFinding} />
        </Part>
      )}
    </div>
  );
}

function take(design: BlockDesign): void {
  lookAt(design);
  void setChoices(design.choices);
}

function naming(one: BlockDesign): string {
  const { block } = one;
  const more = block.design.make_up ? ` and ${makeUp(one)}` : "";
  return `${block.architecture}, ${block.sides}, ${block.design.lanes} x ${block.design.row}${more}`;
}

function architecture(one: BlockDesign) {
  const chosen = one.key === blocks.answer.value?.chosen;
  return (
    <>
      {one.block.architecture} {chosen && <span class="mark">chosen</span>}
    </>
  );
}

/** A column of figures that sorts by them. */
function figures(name: string, of: (block: Block) => string | number): Column<BlockDesign> {
  return { name, figure: true, cell: ({ block }) => <Figure value={of(block)} />, by: ({ block }) => of(block) };
}

function makeUp({ block }: BlockDesign): string {
  const { make_up: count, make_up_row: stations } = block.design;
  return count ? `${count} x ${stations}` : "–";
}

function note(told: Blocks, chosen: BlockDesign | undefined): string {
  const block = chosen?.block ?? told.designs[0]?.block;
  if (!block) return "";
  const asked = valueOf(block.stations) ?? 0;
  return `${told.designs.length}; the plan asks for ${Math.round(asked * 100) / 100} stations of ${block.process}; arrows move, Enter chooses`;
}
