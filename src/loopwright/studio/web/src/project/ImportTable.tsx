// A table before it goes into the file: which section, and what it changes.
import { useEffect, useRef, useState } from "preact/hooks";
import { ask } from "../api/http";
import type { Edited, Import } from "../messages";
import { Dialog } from "../parts/Dialog";
import { Difference } from "../parts/Difference";
import { FindingList } from "../parts/FindingList";
import { compareLines, countLines } from "../parts/lines";
import { loaded, sentence, text } from "../state/document";
import { incoming } from "./view";
import type { Incoming } from "./view";

type Kind = Import["kind"];
const KINDS: readonly Kind[] = ["materials", "processes", "stations", "belts", "pickers"];

/** Columns that only one kind of table has. */
const KNOWN_BY: Record<Kind, readonly string[]> = {
  materials: ["letter", "stack", "supply", "price", "surplus"],
  processes: ["cycle", "inputs", "outputs", "station", "yield"],
  stations: ["width", "height"],
  belts: [],
  pickers: ["swing", "hand", "reach", "habit"],
};

export function ImportTable({ incoming: one }: { readonly incoming: Incoming }) {
  const [kind, setKind] = useState<Kind>(() => guessed(one));
  const [made, setMade] = useState<Edited | null>(null);
  const [fault, setFault] = useState("");
  const into = text.value;
  const asked = useRef<AbortController | null>(null);

  useEffect(() => {
    asked.current?.abort();
    const halt = new AbortController();
    asked.current = halt;
    const body: Import = { file: loaded.value, text: into, kind, name: one.name, table: one.table };
    ask<Edited>("POST", "/api/import", body, halt.signal).then(
      (told) => {
        setMade(told);
        setFault("");
      },
      (refusal: unknown) => {
        if (!halt.signal.aborted) setFault(sentence(refusal));
      },
    );
    return () => halt.abort();
  }, [kind, into, one]);

  const result = made?.text ?? null;
  const count = result === null ? null : countLines(compareLines(into, result));
  const leave = () => (incoming.value = incoming.value.filter((other) => other !== one));
  function putIn(): void {
    if (result === null) return;
    text.value = result;
    leave();
  }

  return (
    <Dialog name={`Table ${one.name}`} leave={leave}>
      <div class="bar">
        <label>
          goes into{" "}
          <select value={kind} onChange={(event) => setKind(event.currentTarget.value as Kind)}>
            {KINDS.map((each) => (
              <option key={each} value={each}>
                {each}
              </option>
            ))}
          </select>
        </label>
        {count && (
          <span class="soft">
            {count.added} lines come, {count.removed} go; entries of the same name are replaced
          </span>
        )}
      </div>
      {fault && (
        <p class="note alarm" role="alert">
          {fault}
        </p>
      )}
      {!made && !fault && <p class="soft">Reading the table</p>}
      {made && made.findings.length > 0 && <FindingList findings={made.findings} />}
      {result === null && made && !fault && <p class="note warn">Nothing can be put in as the table is. Mend it, or choose another section.</p>}
      {result !== null && <Difference from={into} to={result} name="What the table changes" />}
      <div class="bar end">
        <button onClick={leave}>Leave it</button>
        <button class="main" disabled={result === null || result === into} onClick={putIn}>
          Put it in
        </button>
      </div>
    </Dialog>
  );
}

/** The section that a table is most likely for: by its columns, else by its name. */
function guessed({ name, table }: Incoming): Kind {
  const head = table.slice(0, table.search(/[\r\n]|$/)).toLowerCase();
  const columns = head.split(/[,;\t]/).map((column) => column.replace(/["\ufeff]|[[(].*/g, "").trim());
  const scores = KINDS.map((kind) => {
    const shared = KNOWN_BY[kind].filter((column) => columns.includes(column)).length;
    return shared * 2 + (name.toLowerCase().includes(kind.slice(0, -1)) ? 1 : 0);
  });
  return KINDS[scores.indexOf(Math.max(...scores))] as Kind;
}
