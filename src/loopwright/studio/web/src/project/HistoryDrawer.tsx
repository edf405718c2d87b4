// Texts that the file had: when, what came and went, and a way back.
import { useEffect, useState } from "preact/hooks";
import { ask, filePath } from "../api/http";
import type { Text, Version } from "../messages";
import { Difference } from "../parts/Difference";
import { loaded, saved, sentence, text } from "../state/document";
import { historyOpen } from "./view";

export function HistoryDrawer() {
  const [versions, setVersions] = useState<readonly Version[] | null>(null);
  const [chosen, setChosen] = useState<Version | null>(null);
  const [held, setHeld] = useState<Text | null>(null);
  const [fault, setFault] = useState("");
  const file = loaded.value;
  const digest = saved.value?.digest;

  useEffect(() => {
    const halt = new AbortController();
    ask<Version[]>("GET", `${filePath(file)}/history`, undefined, halt.signal).then(setVersions, (refusal: unknown) => {
      if (!halt.signal.aborted) setFault(sentence(refusal));
    });
    return () => halt.abort();
  }, [file, digest]);

  useEffect(() => {
    if (!chosen) return;
    const halt = new AbortController();
    const path = `${filePath(file)}/history/${encodeURIComponent(chosen.id)}`;
    ask<Text>("GET", path, undefined, halt.signal).then(setHeld, (refusal: unknown) => {
      if (!halt.signal.aborted) setFault(sentence(refusal));
    });
    return () => halt.abort();
  }, [file, chosen]);

  const close = () => (historyOpen.value = false);
  return (
    <aside
      class="history"
      aria-label="History"
      onKeyDown={(event) => {
        if (event.key === "Escape") close();
      }}
    >
      <header>
        <h2>History</h2>
        <button class="plain far" onClick={close}>
          Close
        </button>
      </header>
      {fault && (
        <p class="note alarm" role="alert">
          {fault}
        </p>
      )}
      {versions?.length === 0 && <p class="soft pad">The file was not changed here yet.</p>}
      <ul>
        {versions?.map((version, at) => (
          <li key={version.id}>
            <button class="plain version" aria-pressed={chosen?.id === version.id} onClick={() => setChosen(version)}>
              <time dateTime={version.time}>{when(version.time)}</time>
              <span class="good">+{version.lines_added}</span>
              <span class="alarm">−{version.lines_removed}</span>
              <span class="soft">{at === 0 && version.digest === digest ? "as it is" : ""}</span>
            </button>
          </li>
        ))}
      </ul>
      {chosen && held && (
        <div class="preview">
          <div class="bar">
            <h3>From this version to the text now</h3>
            <button class="far" disabled={held.text === text.value} onClick={() => (text.value = held.text)}>
              Go back to it
            </button>
          </div>
          <Difference from={held.text} to={text.value} name="What differs from the text now" />
        </div>
      )}
    </aside>
  );
}

/** A time of the server as people say it: the hour for today, else the day too. */
function when(time: string): string {
  const then = new Date(time);
  const today = then.toDateString() === new Date().toDateString();
  const clock = then.toLocaleTimeString("en-GB");
  return today ? `today ${clock}` : `${then.toLocaleDateString("en-GB", { day: "numeric", month: "short" })} ${clock}`;
}
