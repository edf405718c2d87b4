// A table that sorts by a column; exact figures sort by value.
import { useState } from "preact/hooks";
import type { ComponentChildren } from "preact";
import { valueOf } from "./figure";

export interface Column<Row> {
  readonly name: string;
  /** What is shown. */
  readonly cell: (row: Row) => ComponentChildren;
  /** What it sorts by; none, no sorting. Text such as "16/3" counts as a number. */
  readonly by?: (row: Row) => string | number;
  readonly figure?: boolean;
}

interface Props<Row> {
  readonly label: string;
  readonly columns: readonly Column<Row>[];
  readonly rows: readonly Row[];
  readonly id: (row: Row) => string;
  readonly chosen?: string;
  readonly choose?: (row: Row) => void;
}

export function Table<Row>({ label, columns, rows, id, chosen, choose }: Props<Row>) {
  const [sort, setSort] = useState<{ at: number; down: boolean } | null>(null);
  const by = sort ? columns[sort.at]?.by : undefined;
  const sorted = by
    ? [...rows].sort((a, b) => compare(by(a), by(b)) * (sort?.down ? -1 : 1))
    : rows;
  return (
    <div class="scroll">
      <table aria-label={label}>
        <thead>
          <tr>
            {columns.map((column, at) => (
              <th
                key={column.name}
                scope="col"
                class={column.figure ? "figure" : ""}
                aria-sort={sort?.at !== at ? undefined : sort.down ? "descending" : "ascending"}
              >
                {column.by ? (
                  <button class="plain" onClick={() => setSort({ at, down: sort?.at === at && !sort.down })}>
                    {column.name}
                    {sort?.at === at ? (sort.down ? " ↓" : " ↑") : ""}
                  </button>
                ) : (
                  column.name
                )}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {sorted.map((row) => (
            <tr
              key={id(row)}
              aria-selected={choose ? chosen === id(row) : undefined}
              onClick={choose && (() => choose(row))}
            >
              {columns.map((column) => (
                <td key={column.name} class={column.figure ? "figure" : ""}>
                  {column.cell(row)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function compare(a: string | number, b: string | number): number {
  const [x, y] = [valueOf(a), valueOf(b)];
  if (x !== null && y !== null) return x - y;
  return String(a).localeCompare(String(b), undefined, { numeric: true });
}
