// The project file: as text and as a form, with what is found in it.
import "./project.css";
import { useSignal } from "@preact/signals";
import { FindingList } from "../parts/FindingList";
import { checked, conflict, errors, findings, loaded, ready, save, text, trouble, warnings } from "../state/document";
import { address, file } from "../state/route";
import { ConflictView } from "./ConflictView";
import { Editor, redoText, searchText, undoText } from "./editor/Editor";
import { FormView } from "./form/FormView";
import { showFinding } from "./go";
import { HistoryDrawer } from "./HistoryDrawer";
import { ImportTable } from "./ImportTable";
import { offerTables } from "./tables";
import { historyOpen, incoming, side, wide } from "./view";
import type { Side } from "./view";

export function ProjectPage() {
  const over = useSignal(false);
  if (!ready.value) return <Unread />;
  if (conflict.value) return <ConflictView />;
  return (
    <div
      class={over.value ? "project over" : "project"}
      onKeyDown={(event) => {
        if (event.key !== "s" || !(event.ctrlKey || event.metaKey)) return;
        event.preventDefault();
        void save();
      }}
      onDragOver={(event) => {
        if (!event.dataTransfer?.types.includes("Files")) return;
        event.preventDefault();
        over.value = true;
      }}
      onDragLeave={(event) => {
        if (event.currentTarget === event.target) over.value = false;
      }}
      onDropCapture={(event) => {
        over.value = false;
        if (!event.dataTransfer?.files.length) return;
        // before the editor sees it, which would put the table in as text
        event.preventDefault();
        event.stopPropagation();
        void offerTables([...event.dataTransfer.files]);
      }}
    >
      <Tools />
      <div class={wide.value ? "sides" : "sides one"}>
        {(wide.value || side.value === "text") && (
          <section class="text-side" aria-label="Text">
            <Editor />
          </section>
        )}
        {(wide.value || side.value === "form") && (
          <section class="form-side" aria-label="Form">
            <FormView />
          </section>
        )}
        {historyOpen.value && <HistoryDrawer />}
      </div>
      <Found />
      {incoming.value[0] && <ImportTable key={incoming.value[0].name} incoming={incoming.value[0]} />}
      {over.value && <p class="drop">Let go: the tables are shown before anything is changed.</p>}
    </div>
  );
}

function Unread() {
  return (
    <div class="project-wait">
      <h1 class="unseen">Project {file.value}</h1>
      {trouble.value ? (
        <p class="note alarm">
          {trouble.value} <a href={address("start")}>All projects</a>
        </p>
      ) : (
        <p class="soft">Reading the file</p>
      )}
    </div>
  );
}

function Tools() {
  const text = wide.value || side.value === "text";
  return (
    <div class="tools-line">
      <h1 class="unseen">Project {loaded.value}</h1>
      {!wide.value && (
        <div class="bar switch" role="group" aria-label="Shown">
          <SideButton of="text">Text</SideButton>
          <SideButton of="form">Form</SideButton>
        </div>
      )}
      <div class="bar">
        <button onClick={undoText}>
          Undo
        </button>
        <button onClick={redoText}>
          Redo
        </button>
        <button onClick={searchText} disabled={!text}>
          Find
        </button>
      </div>
      <div class="bar far">
        <label class="button">
          Put in tables (CSV)
          <input
            class="unseen"
            type="file"
            accept=".csv,.tsv,.txt,text/csv"
            multiple
            onChange={(event) => {
              const files = event.currentTarget.files;
              if (files) void offerTables([...files]);
              event.currentTarget.value = "";
            }}
          />
        </label>
        <button aria-pressed={historyOpen.value} onClick={() => (historyOpen.value = !historyOpen.value)}>
          History
        </button>
      </div>
    </div>
  );
}

function SideButton({ of, children }: { of: Side; children: string }) {
  return (
    <button aria-pressed={side.value === of} onClick={() => (side.value = of)}>
      {children}
    </button>
  );
}

function Found() {
  const stale = checked.value !== text.value;
  return (
    <section class="found" aria-label="Findings">
      <header>
        <h2>Findings</h2>
        <span class="soft" aria-live="polite">
          {stale ? "checking" : told(errors.value, warnings.value)}
        </span>
      </header>
      {findings.value.length > 0 && (
        <div class="list">
          <FindingList findings={findings.value} show={showFinding} />
        </div>
      )}
    </section>
  );
}

function told(wrong: number, others: number): string {
  if (wrong + others === 0) return "nothing is wrong with the file";
  const parts = [wrong ? `${wrong} ${wrong === 1 ? "error" : "errors"}` : "", others ? `${others} to look at` : ""];
  return parts.filter(Boolean).join(", ");
}
