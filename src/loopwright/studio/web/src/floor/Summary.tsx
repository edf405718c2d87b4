// The floor in words, for those who do not see it: now and then, never at every frame.
import { useEffect, useState } from "preact/hooks";
import { clock, count, rate } from "./clock";
import { status } from "./live";
import { site } from "./state";

const EVERY = 10_000;

export function Summary() {
  const [words, say] = useState("");
  useEffect(() => {
    const timer = window.setInterval(() => say(told()), EVERY);
    return () => window.clearInterval(timer);
  }, []);
  const playing = status.value?.playing;
  const jam = status.value?.jam?.sentence;
  useEffect(() => say(told()), [playing, jam]);
  return (
    <p class="unseen" role="status" aria-live="polite">
      {words}
    </p>
  );
}

function told(): string {
  const now = status.value;
  const floor = site.value?.floor;
  if (!floor) return "";
  const built = `${floor.stations.length} stations in ${floor.rows.length} rows, ${floor.belts.length} belts.`;
  if (!now) return built;
  const waits = now.stock.filter((one) => one.starved).map((one) => `${one.starved} for ${one.material}`);
  return [
    built,
    `${now.playing ? "Running" : "Standing"} at ${clock(now.time)}:`,
    `${rate(now.rate)} of ${rate(now.target)} ${floor.product} a second,`,
    `${count(now.made)} made, ${now.starved} stations starved${waits.length ? ` (${waits.join(", ")})` : ""},`,
    `${now.blocked} blocked.`,
    now.off.length ? `${now.off.length} docks give nothing.` : "",
    now.jam ? `Jam: ${now.jam.sentence}.` : "",
  ].join(" ");
}
