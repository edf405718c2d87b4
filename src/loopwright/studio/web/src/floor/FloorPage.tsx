// The floor: the drawing of the layout, alive.
import "./floor.css";
import { useEffect } from "preact/hooks";
import { FindingList } from "../parts/FindingList";
import { errors, loaded, sound, text } from "../state/document";
import { file, go, query } from "../state/route";
import { Canvas } from "./Canvas";
import { DevicePanel } from "./DevicePanel";
import { EditBar } from "./EditBar";
import { opened, runTrouble, status } from "./live";
import { JamBanner, Readouts } from "./Readouts";
import { RunBar } from "./RunBar";
import { Summary } from "./Summary";
import { findings, leave, pointed, read, reading, site, start, startChosen, trouble, wanted } from "./state";
import { LayerSwitches, Legend, ScaleBar, Search, Tooltip, Zoom } from "./Tools";

export function FloorPage() {
  const ready = sound.value;
  const name = file.value;
  useEffect(() => {
    if (ready) void read();
  }, [ready, name, ready ? text.value : ""]);
  const played = query.value.get("play") ?? "";
  useEffect(() => {
    if (site.peek()) start();
  }, [played]);
  useEffect(() => leave, []);
  if (!site.value) return <Nothing ready={ready} />;
  return (
    <div class="floor">
      <h1 class="unseen">Floor of {site.value.floor.title}</h1>
      <RunBar />
      <div class="alerts">
        <JamBanner showLoop={showLoop} toProof={() => go("proof")} />
        {played && opened.value && (
          <p class="note played">
            <strong>Shown again:</strong> {opened.value.scenario}
            <button onClick={startChosen}>Back to the scenarios</button>
          </p>
        )}
        {(trouble.value || runTrouble.value) && (
          <p class="note alarm" role="alert">
            {trouble.value || runTrouble.value}
          </p>
        )}
      </div>
      <div class="stage">
        <Canvas />
        <div class="corner top">
          <Search />
          <LayerSwitches />
        </div>
        <div class="corner foot">
          <ScaleBar />
          <Legend />
        </div>
        <div class="corner right">
          <Zoom />
        </div>
        <Tooltip />
      </div>
      <aside class="side" aria-label="Readings">
        <EditBar />
        <DevicePanel />
        <Readouts />
      </aside>
      <Summary />
    </div>
  );
}

function Nothing({ ready }: { ready: boolean }) {
  const waits = reading.value || loaded.value !== file.value || (!ready && errors.value === 0);
  return (
    <div class="no-floor">
      <h1>Floor</h1>
      {trouble.value ? (
        <p class="note alarm" role="alert">
          {trouble.value}
        </p>
      ) : waits ? (
        <p class="soft" role="status">
          The floor is being laid out …
        </p>
      ) : (
        <>
          <p>There is no floor yet: the file or its layout has errors.</p>
          <FindingList findings={findings.value} />
        </>
      )}
    </div>
  );
}

function showLoop(): void {
  const jam = status.value?.jam;
  const here = site.value;
  if (!jam || !here) return;
  const rows = new Set(jam.rows);
  const round = jam.belts.filter((name) => {
    const place = here.floor.belts.find((belt) => belt.name === name);
    return place && (place.role === "lane" || place.role === "return");
  });
  pointed.value = round;
  const boxes = [...round, ...rows].flatMap((name) => here.places.get(name)?.box ?? []);
  if (!boxes.length) return;
  const of = round.map((name) => here.places.get(name)!.box);
  const left = Math.min(...of.map((box) => box[0]));
  const top = Math.min(...of.map((box) => box[1]));
  const right = Math.max(...of.map((box) => box[0] + box[2]));
  const bottom = Math.max(...of.map((box) => box[1] + box[3]));
  wanted.value = { box: [left - 3, top - 3, right - left + 6, bottom - top + 6], most: 24 };
}
