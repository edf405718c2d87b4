// The plan in tables: processes, materials, belts, kinds of stations.
import { useState } from "preact/hooks";
import type { BeltNeed, MaterialPlan, Plan, ProcessPlan } from "../messages";
import { Changed, Figure, Share } from "../parts/Figure";
import { percent, shown, valueOf } from "../parts/figure";
import { Part } from "../parts/Part";
import { Table } from "../parts/Table";
import type { Column } from "../parts/Table";

interface Props {
  readonly plan: Plan;
  readonly titles: Readonly<Record<string, string>>;
}

export function ProcessPart({ plan, titles, before }: Props & { readonly before: Plan | null }) {
  const old = new Map(before?.processes.map((one) => [processId(one), one]));
  const columns: readonly Column<ProcessPlan>[] = [
    { name: "process", cell: (row) => named(titles, row.process, row.treatment), by: (row) => titles[row.process] ?? row.process },
    { name: "station", cell: (row) => titles[row.station] ?? row.station, by: (row) => row.station },
    { name: "cycles", figure: true, cell: (row) => <Rate value={row.cycles} />, by: (row) => row.cycles },
    { name: "stations, exact", figure: true, cell: (row) => <Figure value={row.stations} />, by: (row) => row.stations },
    {
      name: "whole",
      figure: true,
      cell: (row) => <Changed from={before ? (old.get(processId(row))?.whole ?? 0) : undefined} to={row.whole} />,
      by: (row) => row.whole,
    },
    { name: "idle", figure: true, cell: (row) => (row.whole ? percent(idleOf(row)) : ""), by: idleOf },
    { name: "power [kW]", figure: true, cell: (row) => <Figure value={row.power} />, by: (row) => row.power },
    { name: "effort", figure: true, cell: (row) => <Figure value={row.effort} />, by: (row) => row.effort },
  ];
  const idle = plan.processes.filter((row) => !valueOf(row.cycles)).length;
  return (
    <Part name="Processes" note={idle ? `${idle} of ${plan.processes.length} stand still` : `${plan.processes.length}`}>
      <Table
        label="Processes"
        columns={columns}
        rows={plan.processes}
        id={processId}
        look={(row) => (valueOf(row.cycles) ? "" : "idle")}
      />
    </Part>
  );
}

export function MaterialPart({ plan, titles }: Props) {
  const rate = (name: string, of: (row: MaterialPlan) => string): Column<MaterialPlan> => ({
    name,
    figure: true,
    cell: (row) => <Rate value={of(row)} />,
    by: of,
  });
  const drawn = plan.materials.some((row) => valueOf(row.drawn));
  const columns: readonly Column<MaterialPlan>[] = [
    { name: "material", cell: (row) => named(titles, row.material), by: (row) => titles[row.material] ?? row.material },
    rate("made", (row) => row.made),
    rate("imported", (row) => row.imported),
    ...(drawn ? [rate("from deposits", (row: MaterialPlan) => row.drawn)] : []),
    rate("used", (row) => row.used),
    rate("demanded", (row) => row.demanded),
    rate("surplus", (row) => row.surplus),
    { name: "value of one a second", figure: true, cell: (row) => <Figure value={row.value} />, by: (row) => row.value },
  ];
  return (
    <Part name="Materials" note="made + imported = used + demanded + surplus">
      <Table label="Materials" columns={columns} rows={plan.materials} id={(row) => row.material} />
    </Part>
  );
}

interface BeltRow {
  readonly material: string;
  readonly needs: ReadonlyMap<number, string>;
}

export function BeltPart({ plan, titles }: Props) {
  const kinds = [...new Set(plan.belts.map((need) => need.belt))];
  const [chosen, setChosen] = useState("");
  const kind = kinds.includes(chosen) ? chosen : (kinds[0] ?? "");
  const needs = plan.belts.filter((need) => need.belt === kind);
  const stacks = [...new Set(needs.map((need) => need.stack))].sort((a, b) => a - b);
  const columns: readonly Column<BeltRow>[] = [
    { name: "material", cell: (row) => named(titles, row.material), by: (row) => titles[row.material] ?? row.material },
    ...stacks.map(
      (stack): Column<BeltRow> => ({
        name: stack === 1 ? "single units" : `stacks of ${stack}`,
        figure: true,
        cell: (row) => {
          const belts = row.needs.get(stack);
          return belts === undefined ? "" : <Figure value={belts} />;
        },
        by: (row) => row.needs.get(stack) ?? -1,
      }),
    ),
  ];
  const choice = kinds.length > 1 && (
    <select aria-label="Kind of belt" value={kind} onChange={(event) => setChosen(event.currentTarget.value)}>
      {kinds.map((one) => (
        <option key={one}>{one}</option>
      ))}
    </select>
  );
  return (
    <Part name="Belts" note={`of kind ${kind}, that each material fills`} {...(choice ? { tools: choice } : {})}>
      <Table label="Belts" columns={columns} rows={byMaterial(needs)} id={(row) => row.material} />
    </Part>
  );
}

interface KindRow {
  readonly station: string;
  readonly whole: number;
  readonly power: number;
  readonly effort: number;
}

export function KindPart({ plan }: { readonly plan: Plan }) {
  const rows = byKind(plan);
  const most = Math.max(1e-9, valueOf(plan.power) ?? 0);
  const columns: readonly Column<KindRow>[] = [
    { name: "kind of station", cell: (row) => row.station, by: (row) => row.station },
    { name: "whole", figure: true, cell: (row) => shown(row.whole), by: (row) => row.whole },
    { name: "effort", figure: true, cell: (row) => shown(row.effort), by: (row) => row.effort },
    { name: "power [kW]", figure: true, cell: (row) => shown(row.power), by: (row) => row.power },
    { name: "share", figure: true, cell: (row) => <Share of={row.power / most} />, by: (row) => row.power },
  ];
  return (
    <Part name="Power" note={`${shown(plan.power)} kW in all`}>
      <Table label="Power by kind of station" columns={columns} rows={rows} id={(row) => row.station} />
    </Part>
  );
}

function Rate({ value }: { readonly value: string }) {
  return valueOf(value) ? (
    <>
      <Figure value={value} />
      <span class="soft">/s</span>
    </>
  ) : (
    <span class="soft">–</span>
  );
}

function named(titles: Readonly<Record<string, string>>, key: string, treatment = "") {
  return (
    <span title={key}>
      {titles[key] ?? key}
      {treatment && <span class="soft"> with {titles[treatment] ?? treatment}</span>}
    </span>
  );
}

/** The share of whole stations that is not needed. */
function idleOf(row: ProcessPlan): number {
  return row.whole ? 1 - (valueOf(row.stations) ?? 0) / row.whole : 0;
}

function processId(row: ProcessPlan): string {
  return `${row.process} ${row.station} ${row.treatment}`;
}

function byMaterial(needs: readonly BeltNeed[]): readonly BeltRow[] {
  const found = new Map<string, Map<number, string>>();
  for (const need of needs) {
    const row = found.get(need.material) ?? new Map<number, string>();
    row.set(need.stack, need.belts);
    found.set(need.material, row);
  }
  return [...found].map(([material, row]) => ({ material, needs: row }));
}

/** Sums by kind of station, the largest power first. */
function byKind(plan: Plan): readonly KindRow[] {
  const found = new Map<string, KindRow>();
  for (const one of plan.processes) {
    const row = found.get(one.station) ?? { station: one.station, whole: 0, power: 0, effort: 0 };
    found.set(one.station, {
      station: one.station,
      whole: row.whole + one.whole,
      power: row.power + (valueOf(one.power) ?? 0),
      effort: row.effort + (valueOf(one.effort) ?? 0),
    });
  }
  return [...found.values()].sort((a, b) => b.power - a.power);
}
