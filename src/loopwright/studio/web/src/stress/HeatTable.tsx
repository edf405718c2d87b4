// The table of a battery: a cell is the rate long after, by shade, figure and sign.
import { percent, valueOf } from "../parts/figure";
import { bandName, done, fate, general, rowOf, sheet } from "./battery";
import type { Battery, Fate } from "./battery";

interface Props {
  readonly battery: Battery;
  readonly live: boolean;
  readonly chosen: number | null;
  readonly choose: (number: number) => void;
}

export const SIGNS: Record<Fate, { readonly sign: string; readonly word: string }> = {
  stands: { sign: "✕", word: "a loop stands for good" },
  loses: { sign: "▼", word: "stays more than 1 % below the undisturbed rate" },
  back: { sign: "✓", word: "comes back" },
};

/** Least share for each shade, the lightest first. */
export const SHADES = [0.99, 0.9, 0.75, 0.5, 0.25, 0] as const;

export function shade(share: string): number {
  const value = valueOf(share) ?? 0;
  return SHADES.findIndex((least) => value >= least);
}

export function HeatTable(table: Props) {
  const { materials, bands, at: place } = sheet(table.battery.cases);
  return (
    <div class="scroll">
      <table class="heat" aria-label="Rate long after, by material and by what is done to it" onKeyDown={walk}>
        <thead>
          <tr>
            <td />
            {bands.map((band) => (
              <th key={band.kind} scope="colgroup" colSpan={band.levels.length} class="band">
                <span>{bandName(band.kind)}</span>
              </th>
            ))}
          </tr>
          <tr>
            <td />
            {bands.flatMap((band) =>
              band.levels.map((step, at) => (
                <th key={band.kind + step} scope="col" class={at === 0 ? "first" : ""}>
                  {step}
                </th>
              )),
            )}
          </tr>
        </thead>
        <tbody>
          {materials.map((name) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              {bands.flatMap((band) =>
                band.levels.map((step, at) => {
                  const number = place(name, band.kind, step);
                  return (
                    <td key={band.kind + step} class={at === 0 ? "first" : ""}>
                      {number !== undefined && <Cell number={number} {...table} />}
                    </td>
                  );
                }),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** What is done to everything at once, a line each. */
export function GeneralTable(table: Props) {
  const { battery } = table;
  return (
    <table class="heat" aria-label="Rate long after, by what is done to everything" onKeyDown={walk}>
      <tbody>
        {general(battery.cases).map((number) => {
          const one = battery.cases[number];
          return (
            one && (
              <tr key={number}>
                <th scope="row">{done(one)}</th>
                <td>
                  <Cell number={number} {...table} />
                </td>
              </tr>
            )
          );
        })}
      </tbody>
    </table>
  );
}

function Cell({ number, battery, live, chosen, choose }: Props & { readonly number: number }) {
  const row = rowOf(battery, number);
  if (!row) {
    return <span class="cell pending">{live ? "…" : "–"}</span>;
  }
  const { sign, word } = SIGNS[fate(row, battery)];
  return (
    <button
      class={`cell shade${shade(row.after)}`}
      aria-pressed={chosen === number}
      title={word}
      onClick={() => choose(number)}
    >
      <span aria-hidden="true">{sign}</span> {percent(row.after)}
      <span class="unseen">, {word}</span>
    </button>
  );
}

/** Arrow keys go from cell to cell. */
function walk(event: KeyboardEvent): void {
  const [across, down] =
    { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key] ?? [0, 0];
  const place = (event.target as HTMLElement).closest("td");
  const line = place?.closest("tr");
  if (!place || !line || (!across && !down)) return;
  event.preventDefault();
  const at = place.cellIndex + (across ?? 0);
  const to = down ? (down > 0 ? line.nextElementSibling : line.previousElementSibling) : line;
  (to as HTMLTableRowElement | null)?.cells[at]?.querySelector("button")?.focus();
}
