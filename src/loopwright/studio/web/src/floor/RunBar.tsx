// What makes the run go: play, tick, speed, scenario, and the line of time.
import { query } from "../state/route";
import { Scrubber } from "./Scrubber";
import { opened, order, pause, play, speed, status, waking } from "./live";
import type { Speed } from "./live";
import { editing, scenario, seed, site, stale, start, startChosen } from "./state";

const SPEEDS: readonly [Speed, string][] = [
  [0.1, "1/10 ×"], [0.25, "1/4 ×"], [1, "1 ×"], [4, "4 ×"], [10, "10 ×"], [30, "30 ×"], [100, "100 ×"],
  ["max", "as fast as it goes"],
]; // prettier-ignore

export function RunBar() {
  const playing = status.value?.playing ?? false;
  const ready = opened.value !== null;
  const again = query.value.has("play");
  return (
    <div class="run-bar" role="toolbar" aria-label="Run">
      <div class="bar">
        <button class="main go" disabled={!ready} onClick={playing ? pause : play} aria-keyshortcuts="Space">
          <Sign playing={playing} />
          {playing ? "Pause" : "Play"}
        </button>
        <button disabled={!ready} onClick={() => order({ type: "step", ticks: 1 })} aria-keyshortcuts=".">
          One tick
        </button>
        <label class="bar">
          <span class="soft">speed</span>
          <select aria-label="Speed" value={String(speed.value)} onChange={(event) => pace(event.currentTarget.value)}>
            {SPEEDS.map(([value, words]) => (
              <option key={value} value={String(value)}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <span class="reached soft">{reached(playing)}</span>
      </div>
      <Scrubber />
      <div class="bar">
        <label class="bar">
          <span class="soft">scenario</span>
          <select
            aria-label="Scenario"
            value={again ? "" : (scenario.value ?? site.value?.floor.scenarios[0] ?? "")}
            onChange={(event) => {
              scenario.value = event.currentTarget.value || null;
              startChosen();
            }}
          >
            {again && <option value="">as the job told</option>}
            {(site.value?.floor.scenarios ?? []).map((name) => (
              <option key={name}>{name}</option>
            ))}
          </select>
        </label>
        <label class="bar seed">
          <span class="soft">seed</span>
          <input
            type="number"
            min={0}
            max={4294967295}
            step={1}
            value={seed.value ?? opened.value?.seed ?? 0}
            onChange={(event) => reseed(event.currentTarget)}
          />
        </label>
        <button onClick={start} disabled={!site.value || waking.value}>
          {stale.value ? "Run the new floor" : "From the start"}
        </button>
        <button aria-pressed={editing.value} disabled={!site.value} onClick={() => (editing.value = !editing.value)}>
          Edit
        </button>
      </div>
    </div>
  );
}

function Sign({ playing }: { playing: boolean }) {
  return (
    <svg width="10" height="12" viewBox="0 0 10 12" aria-hidden="true">
      <path d={playing ? "M1.5 1v10M8.5 1v10" : "M1 .8L9.5 6L1 11.2Z"} fill={playing ? "none" : "currentColor"} stroke="currentColor" stroke-width={playing ? 2.4 : 0} />
    </svg>
  );
}

function reached(playing: boolean): string {
  const now = status.value;
  if (waking.value) return "the engine is being made ready …";
  if (!now || !playing || !now.speed) return "";
  const value = now.speed >= 100 ? Math.round(now.speed / 10) * 10 : Number(now.speed.toPrecision(2));
  return `${value} × reached`;
}

function pace(value: string): void {
  speed.value = value === "max" ? "max" : Number(value);
  if (status.value?.playing) play();
}

function reseed(field: HTMLInputElement): void {
  const value = Number(field.value);
  if (!Number.isInteger(value) || value < 0 || value > 4294967295) return;
  seed.value = value;
  startChosen();
}
