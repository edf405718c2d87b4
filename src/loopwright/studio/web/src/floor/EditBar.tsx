// Editing: what is moved and not kept, what is wrong with it, and the way back.
import { FindingList } from "../parts/FindingList";
import { choose, discard, editing, findings, forget, moves, reading, rules, show, site, stale, start } from "./state";

export function EditBar() {
  if (!editing.value) return null;
  const open = moves.value.length + rules.value.length;
  const wrong = findings.value.filter((one) => one.severity === "error");
  return (
    <section class="edit" aria-label="Edit">
      <p>
        Drag a row or a device; it keeps to the cells. A rule is changed in the readings of its gate or merge. What has
        no errors is kept as a layout beside the file.
      </p>
      <div class="bar">
        {reading.value ? (
          <span class="soft">checking …</span>
        ) : open ? (
          <span class="alarm">
            {open} {open === 1 ? "change" : "changes"} not kept: {wrong.length} {wrong.length === 1 ? "error" : "errors"}
          </span>
        ) : (
          <span class="soft">{site.value?.floor.edited ? "The layout was edited by hand." : "The layout is as it was placed."}</span>
        )}
        {open > 0 && <button onClick={() => void discard()}>Discard</button>}
        {!open && stale.value && (
          <button class="main" onClick={start}>
            Run the new floor
          </button>
        )}
        {!open && site.value?.floor.edited && <button onClick={() => void forget()}>Place anew</button>}
      </div>
      {wrong.length > 0 && (
        <div class="list">
          <FindingList
            findings={wrong.slice(0, 30)}
            show={(finding) => {
              if (!finding.device) return;
              choose(finding.device);
              show(finding.device);
            }}
          />
        </div>
      )}
    </section>
  );
}
