// One device: what it does, what it did, and what can be done to it.
import { useRef } from "preact/hooks";
import type uPlot from "uplot";
import type { Chart, FloorDevice } from "../messages";
import { device, order, status } from "./live";
import { Mix } from "./Mix";
import { Plot } from "./Plot";
import type { Curve } from "./plot";
import type { Colours } from "./colours";
import { change, choose, chosenPlace, editing, show, site, supply } from "./state";
import type { Place } from "./site";

export function DevicePanel() {
  const place = chosenPlace.value;
  if (!place) return null;
  const told = device.value;
  return (
    <section class="device" aria-label={`Readings of ${place.name}`}>
      <header>
        <h2>{place.name}</h2>
        <span class="soft">{place.kind}</span>
        <span class="far bar">
          <button class="plain" onClick={() => show(place.name)}>
            show
          </button>
          <button class="plain" aria-label="Close the readings" onClick={() => choose(null)}>
            close
          </button>
        </span>
      </header>
      <Deeds place={place} />
      {told ? (
        <>
          <dl class="facts">
            {told.facts.map((fact) => (
              <div key={fact.name}>
                <dt>{fact.name}</dt>
                <dd>{fact.value}</dd>
              </div>
            ))}
          </dl>
          {told.mix.length > 0 && <Mix mix={told.mix} />}
          {told.chart && told.chart.times.length > 1 && <Past name={told.name} chart={told.chart} />}
        </>
      ) : (
        <p class="soft detail">{place.detail}</p>
      )}
    </section>
  );
}

/** What can be done: a supply stopped, a rule changed. */
function Deeds({ place }: { place: Place }) {
  const floor = site.value!.floor;
  if (place.kind === "dock") {
    const off = status.value?.off.includes(place.name) ?? false;
    return (
      <div class="deeds bar">
        <button onClick={() => supply([place.name], off)}>{off ? "Resume this supply" : "Stop this supply"}</button>
        {off && <span class="alarm">stopped</span>}
      </div>
    );
  }
  const groups = { gate: floor.gates, merge: floor.merges, divert: floor.diverts } as const;
  if (place.kind !== "gate" && place.kind !== "merge" && place.kind !== "divert") return null;
  const group = groups[place.kind];
  const found = group.find((one) => one.name === place.name);
  return found && found.rules.length > 1 ? <Rules of={found} group={group} /> : null;
}

function Rules({ of, group }: { of: FloorDevice; group: readonly FloorDevice[] }) {
  const now = status.value?.rules[of.name] ?? of.rule ?? "";
  const alike = group.filter((one) => one.rules.includes(now) && one.rules.length === of.rules.length);
  const field = useRef<HTMLSelectElement>(null);
  const set = (rule: string, names: readonly string[]) => {
    if (editing.value) void change({ rules: names.map((name) => ({ name, rule })) });
    else order({ type: "rule", names: [...names], rule });
  };
  return (
    <div class="deeds">
      <label class="bar">
        <span class="soft">rule</span>
        <select ref={field} aria-label="Rule" value={now} onChange={(event) => set(event.currentTarget.value, [of.name])}>
          {of.rules.map((rule) => (
            <option key={rule}>{rule}</option>
          ))}
        </select>
        {alike.length > 1 && (
          <button onClick={() => set(field.current?.value ?? now, alike.map((one) => one.name))}>Same for all {alike.length}</button>
        )}
      </label>
      <p class="soft">
        {editing.value ? "Kept in the layout beside the file." : "Holds in this run from now on; the file stays as it is."}
      </p>
    </div>
  );
}

function Past({ name, chart: told }: { name: string; chart: Chart }) {
  const seen = told.lines.filter((line, number) => number === 0 || line.values.some((value) => value > 0));
  const chart = { ...told, lines: seen };
  const shares = told.unit === "share of time" && told.lines.length > 1;
  const floor = site.value!.floor;
  const stack: number[][] = [];
  if (shares) {
    chart.lines.forEach((line, number) => {
      stack.push(line.values.map((value, at) => value + (stack[number - 1]?.[at] ?? 0)));
    });
    stack.reverse();
  }
  const lines = shares ? [...chart.lines].reverse() : chart.lines;
  const curves = (colours: Colours): Curve[] =>
    lines.map((line, number) => {
      const material = floor.materials.find((one) => one.name === line.material);
      const tint = material ? colours(`material${material.colour}`) : colours(ROLES[line.name] ?? "ink");
      return shares
        ? { name: line.name, colour: colours("ink"), width: 0.6, fill: tint }
        : { name: line.name, colour: material ? tint : colours("ink"), width: 1.6, ...(number ? { dash: [6 - number, 3] } : {}) };
    });
  const data = [
    chart.times,
    ...(shares ? stack : chart.lines.map((line) => line.values)),
  ] as unknown as uPlot.AlignedData;
  return (
    <figure class="past">
      <figcaption>
        <span>{chart.unit}</span>
        {chart.lines.map((line, number) => {
          const material = floor.materials.find((one) => one.name === line.material);
          const paint = material ? `var(--material${material.colour})` : `var(--${shares ? (ROLES[line.name] ?? "ink") : "ink"})`;
          return (
            <span key={line.name} class="entry">
              <svg width="16" height="9" aria-hidden="true">
                {shares ? (
                  <rect x=".5" y=".5" width="15" height="8" fill={paint} stroke="var(--ink)" stroke-width=".6" />
                ) : (
                  <path d="M0 4.5h16" stroke={paint} stroke-width="1.8" stroke-dasharray={number ? `${6 - number} 3` : undefined} />
                )}
              </svg>
              {line.name}
              {material ? ` ${material.letter}` : ""}
            </span>
          );
        })}
      </figcaption>
      <Plot
        label={`${chart.unit} of ${name} over time`}
        height={130}
        top={chart.unit === "share of time" ? 1 : null}
        kind={`${name} ${chart.lines.map((line) => line.name).join()}`}
        data={data}
        curves={curves}
      />
    </figure>
  );
}

const ROLES: Readonly<Record<string, string>> = { busy: "grid", blocked: "edge", down: "power" };
