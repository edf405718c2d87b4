// What limits the plan: use of every limit, and what one more would do.
import type { LimitUse, Plan } from "../messages";
import { Share } from "../parts/Figure";
import { shown, valueOf } from "../parts/figure";
import { Part } from "../parts/Part";
import { Table } from "../parts/Table";
import type { Column } from "../parts/Table";

const MINUTE = 60;
/** Limits that are counted in stations; the others are rates. */
const COUNTED = ["stations", "share"];

export function LimitPart({ plan, explain }: { readonly plan: Plan; readonly explain: readonly string[] }) {
  const columns: readonly Column<LimitUse>[] = [
    { name: "limit", cell: name, by: name },
    { name: "used", figure: true, cell: (row) => amount(row, row.used), by: (row) => row.used },
    { name: "of", figure: true, cell: (row) => amount(row, row.limit), by: (row) => row.limit },
    { name: "share", figure: true, cell: (row) => <Share of={share(row)} full={share(row) >= 1 && row.kind !== "demand"} />, by: share },
    { name: "one more of it", cell: worth, by: (row) => Math.abs(valueOf(row.price) ?? 0) },
    { name: "in the file", cell: (row) => <code class="soft">{row.path}</code>, by: (row) => row.path },
  ];
  const growth = plan.headroom
    ? `the whole demand can grow to ${shown(plan.headroom.factor)} times`
    : "nothing in the file limits the demand";
  return (
    <Part name="What limits you" note={growth}>
      {explain.length > 0 && (
        <ul class="sentences">
          {explain.map((one, index) => (
            <li key={index}>{one}</li>
          ))}
        </ul>
      )}
      <Table label="Limits" columns={columns} rows={plan.limits} id={(row) => `${row.kind} ${row.path}`} />
    </Part>
  );
}

function name({ kind, name: of }: LimitUse): string {
  const words: Record<string, string> = {
    demand: `demand for ${of}`,
    stations: `stations of kind ${of}`,
    docks: `docks of ${of}`,
    deposit: `deposit of ${of}`,
    surplus: `no surplus of ${of}`,
    share: `stations given to ${of}`,
    least: `least rate of ${of}`,
    most: `most rate of ${of}`,
  };
  return words[kind] ?? `${kind} of ${of}`;
}

function amount({ kind }: LimitUse, figure: string): string {
  return COUNTED.includes(kind) ? shown(figure) : `${shown(figure)}/s`;
}

function share({ used, limit }: LimitUse): number {
  const [is, most] = [valueOf(used) ?? 0, valueOf(limit) ?? 0];
  return most === 0 ? 1 : is / most;
}

/** The shadow price in words. */
function worth({ kind, price, gain, name: of }: LimitUse): string {
  const per = COUNTED.includes(kind) ? "a station more" : "1 a minute more";
  const scale = COUNTED.includes(kind) ? 1 : MINUTE;
  const cost = (valueOf(price) ?? 0) / scale;
  const parts: string[] = [];
  if (gain !== null && valueOf(gain)) {
    const given = ((valueOf(gain) ?? 0) / scale) * MINUTE;
    parts.push(`gives ${shown(Math.abs(given), 3)} a minute ${given < 0 ? "less" : "more"} of the product`);
  }
  if (cost) parts.push(`${cost < 0 ? "saves" : "costs"} ${shown(Math.abs(cost), 3)}`);
  if (parts.length > 0) return `${per} ${parts.join(" and ")}`;
  return kind === "demand" ? `more of ${of} costs nothing` : "changes nothing: there is room";
}
