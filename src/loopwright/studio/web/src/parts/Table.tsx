// A table that sorts by a column; exact figures sort by value. Rows may be chosen, by keys too.
import { useEffect, useRef, useState } from "preact/hooks";
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
  /** The row that is looked at; with `choose`, arrows go from row to row. */
  readonly chosen?: string;
  readonly choose?: (row: Row) => void;
  /** Enter on a row, and a double click. */
  readonly take?: (row: Row) => void;
  /** A class for a row. */
  readonly look?: (row: Row) => string;
}

export function Table<Row>({ label, columns, rows, id, chosen, choose, take, look }: Props<Row>) {
  const [sort, setSort] = useState<{ at: number; down: boolean } | null>(null);
  const body = useRef<HTMLTableSectionElement>(null);
  const by = sort ? columns[sort.at]?.by : undefined;
  const sorted = by
    ? [...rows].sort((a, b) => compare(by(a), by(b)) * (sort?.down ? -1 : 1))
    : rows;
  const at = sorted.findIndex((row) => id(row) === chosen);

  // a row that was chosen elsewhere comes into sight
  useEffect(() => {
    if (choose) body.current?.querySelector("[aria-selected=true]")?.scrollIntoView({ block: "nearest" });
  }, [choose !== undefined && chosen]);

  function go(to: number): void {
    const row = sorted[Math.max(0, Math.min(sorted.length - 1, to))];
    if (!row || !choose) return;
    choose(row);
    requestAnimationFrame(() => body.current?.querySelector<HTMLElement>("[aria-selected=true]")?.focus());
  }

  function key(event: KeyboardEvent, place: number, row: Row): void {
    const to = { ArrowDown: place + 1, ArrowUp: place - 1, Home: 0, End: sorted.length - 1 }[event.key];
    if (to !== undefined) go(to);
    else if (event.key === "Enter" && take) take(row);
    else return;
    event.preventDefault();
  }

  return (
    <div class="scroll">
      <table aria-label={label} role={choose ? "grid" : undefined}>
        <thead>
          <tr>
            {columns.map((column, place) => (
              <th
                key={column.name}
                scope="col"
                class={column.figure ? "figure" : ""}
                aria-sort={sort?.at !== place ? undefined : sort.down ? "descending" : "ascending"}
              >
                {column.by ? (
                  <button
                    class="plain"
                    onClick={() => setSort({ at: place, down: sort?.at === place && !sort.down })}
                  >
                    {column.name}
                    {sort?.at === place ? (sort.down ? " ↓" : " ↑") : ""}
                  </button>
                ) : (
                  column.name
                )}
              </th>
            ))}
          </tr>
        </thead>
        <tbody ref={body}>
          {sorted.map((row, place) => (
            <tr
              key={id(row)}
              class={look?.(row)}
              aria-selected={choose ? chosen === id(row) : undefined}
              tabIndex={!choose ? undefined : place === Math.max(0, at) ? 0 : -1}
              onClick={choose && (() => choose(row))}
              onDblClick={take && (() => take(row))}
              onKeyDown={choose && ((event) => key(event, place, row))}
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
