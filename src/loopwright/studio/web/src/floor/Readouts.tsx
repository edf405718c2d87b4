// How the run does: rate against target, what was made, who waits.
import type uPlot from "uplot";
import { clock, count, rate } from "./clock";
import { history, status } from "./live";
import { Plot } from "./Plot";
import { LEAST } from "./plot";
import { choose, docksOf, site, supply } from "./state";

export function Readouts() {
  const now = status.value;
  const floor = site.value?.floor;
  if (!floor) return null;
  const target = floor.target;
  const share = now && target ? now.rate / target : 0;
  return (
    <section class="readouts" aria-label="Readings of the run">
      <div class="big">
        <div class="headline">
          <span class="value">{now ? rate(now.rate) : "–"}</span>
          <span class="soft">
            of {rate(target)} {floor.product}/s in the last minute
          </span>
        </div>
        <div class="share" role="meter" aria-label="Rate against target" aria-valuemin={0} aria-valuemax={100} aria-valuenow={Math.round(100 * Math.min(1, share))}>
          <i style={{ width: `${Math.min(100, 100 * share)}%` }} class={share >= 0.99 ? "full" : ""} />
        </div>
      </div>
      <RateChart target={target} />
      <dl class="counts">
        <Count name="made" value={now ? count(now.made) : "–"} />
        <Count name="busy" value={now ? count(now.busy) : "–"} />
        <Count name="starved" value={now ? count(now.starved) : "–"} sign="starved" />
        <Count name="blocked" value={now ? count(now.blocked) : "–"} sign="blocked" />
        {now && now.down > 0 ? <Count name="down" value={count(now.down)} sign="down" /> : null}
      </dl>
      <Materials />
    </section>
  );
}

function Count({ name, value, sign }: { name: string; value: string; sign?: string }) {
  return (
    <div>
      <dt>
        {sign && <i class={`state ${sign}`} aria-hidden="true" />}
        {name}
      </dt>
      <dd>{value}</dd>
    </div>
  );
}

function RateChart({ target }: { target: number }) {
  const told = history.value;
  const times = told?.times ?? [];
  const ends = Math.max(LEAST, times.at(-1) ?? 0);
  const rates = told?.rate ?? [];
  // the target goes on to the end of the chart
  const all = times.at(-1) === ends ? [0, ...times] : [0, ...times, ends];
  const data: uPlot.AlignedData = [
    all,
    all.map((_, at) => rates[at - 1] ?? null),
    all.map(() => target),
  ];
  const last = told?.rate.at(-1);
  const label = `Rate over time; target ${rate(target)} a second${last === undefined ? "" : `, last ${rate(last)}`}`;
  return (
    <Plot
      label={label}
      height={120}
      top={null}
      kind="rate"
      data={data}
      curves={(colours) => [
        { name: "rate", colour: colours("ink"), width: 1.6 },
        { name: "target", colour: colours("alarm"), width: 1.2, dash: [6, 4] },
      ]}
    />
  );
}

/** Materials on belts, who waits for them, and their supply. */
function Materials() {
  const floor = site.value!.floor;
  const stock = new Map((status.value?.stock ?? []).map((one) => [one.material, one]));
  return (
    <table class="materials" aria-label="Materials">
      <thead>
        <tr>
          <th scope="col">material</th>
          <th scope="col" class="figure">on belts</th>
          <th scope="col" class="figure">wanted</th>
          <th scope="col" class="figure">supply</th>
        </tr>
      </thead>
      <tbody>
        {floor.materials.map((material) => {
          const one = stock.get(material.name);
          const docks = docksOf(material.name);
          return (
            <tr key={material.name}>
              <td title={material.title}>
                <Swatch colour={material.colour} letter={material.letter} hatch={material.hatch} over={material.over} /> {material.title}
              </td>
              <td class="figure">{one ? count(one.carriers) : "–"}</td>
              <td class={one?.starved ? "figure alarm" : "figure"}>{one ? count(one.starved) : "–"}</td>
              <td class="figure">
                {docks.names.length > 0 && (
                  <button
                    class="plain"
                    aria-label={`${docks.off ? "Resume" : "Stop"} supply of ${material.title}`}
                    onClick={() => supply(docks.names, docks.off)}
                  >
                    {docks.off ? <span class="alarm">resume</span> : "stop"}
                  </button>
                )}
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

interface SwatchProps {
  readonly colour: number;
  readonly letter: string;
  readonly hatch: string;
  readonly over: string;
}

/** A material by letter, hatch and colour. */
export function Swatch({ colour, letter, hatch, over }: SwatchProps) {
  const name = `swatch-${colour}-${hatch.length}`;
  return (
    <svg class="material-mark" width="34" height="14" viewBox="0 0 34 14" aria-hidden="true">
      <defs>
        <pattern id={name} width="4" height="4" patternUnits="userSpaceOnUse">
          <rect width="4" height="4" fill={`var(--material${colour})`} />
          {hatch && <path d={hatch} fill="none" stroke={`var(--${over})`} stroke-width=".7" />}
        </pattern>
      </defs>
      <rect x="16.5" y="1.5" width="17" height="11" fill={`url(#${name})`} stroke="var(--ink)" />
      <text x="7" y="11" text-anchor="middle" font-size="11" font-weight="700" fill="var(--ink)">
        {letter}
      </text>
    </svg>
  );
}

/** The sentence about what stands, and what to do with it. */
export function JamBanner({ showLoop, toProof }: { showLoop: () => void; toProof: () => void }) {
  const jam = status.value?.jam;
  if (!jam) return null;
  const row = jam.rows[0];
  return (
    <div class="jam-banner" role="alert">
      <strong>Jam since {clock(jam.since)}</strong>
      <span class="sentence">{jam.sentence}.</span>
      <span class="bar">
        <button onClick={showLoop}>Show the loop</button>
        {row && <button onClick={() => choose(row)}>Choose {row}</button>}
        <button onClick={toProof}>Go to Proof</button>
      </span>
    </div>
  );
}
