// The line of time: where the run is, how far it was, and what happened when.
import { useRef } from "preact/hooks";
import { clock } from "./clock";
import { history, opened, seek, status } from "./live";

/** Time between two seeks while the knob is dragged [ms]. */
const EVERY = 80;

export function Scrubber() {
  const last = useRef(0);
  const now = status.value;
  const time = now?.time ?? 0;
  const span = lengthOf(Math.max(opened.value?.span ?? 600, now?.reach ?? 0), opened.value?.most ?? 86400);
  const events = history.value?.events ?? [];
  const go = (value: number, final: boolean) => {
    const at = performance.now();
    if (!final && at - last.current < EVERY) return;
    last.current = at;
    seek(value);
  };
  return (
    <div class="scrubber">
      <output class="time" aria-label="Time of the plant">
        {clock(time, true)}
      </output>
      <div class="line">
        <div class="reach" style={{ width: `${(100 * Math.min(now?.reach ?? 0, span)) / span}%` }} />
        {events.map((event, number) => {
          const end = Math.min(event.end ?? span, span);
          if (event.time > span) return null;
          const left = (100 * event.time) / span;
          const width = event.kind === "outage" ? (100 * (end - event.time)) / span : 0;
          return (
            <span
              key={number}
              class={`event ${event.kind}`}
              style={{ left: `${left}%`, width: width ? `${width}%` : undefined }}
              title={`${clock(event.time)} ${event.words}`}
            />
          );
        })}
        <input
          type="range"
          min={0}
          max={span}
          step={0.1}
          value={time}
          disabled={!opened.value}
          aria-label="Time"
          aria-valuetext={clock(time, true)}
          onInput={(event) => go(Number(event.currentTarget.value), false)}
          onChange={(event) => go(Number(event.currentTarget.value), true)}
        />
      </div>
      <span class="soft end">{clock(span)}</span>
    </div>
  );
}

/** The length of the line: that of the scenario, doubled until the run fits on it. */
function lengthOf(need: number, most: number): number {
  let length = opened.value?.span ?? 600;
  while (length < need * 1.02 && length < most) length *= 2;
  return Math.min(length, most);
}
