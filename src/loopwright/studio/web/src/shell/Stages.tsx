// The stages in the order in which data flows.
import { errors, ready } from "../state/document";
import { running } from "../state/jobs";
import { address, file, stage, STAGES } from "../state/route";
import type { Stage } from "../state/route";
import { theme, turnTheme } from "../state/theme";

const WORDS: Record<Stage, string> = {
  project: "Project",
  plan: "Plan",
  block: "Block",
  floor: "Floor",
  proof: "Proof",
  stress: "Stress",
  compare: "Compare",
  report: "Report",
};

export function Stages() {
  const other = theme.value === "dark" ? "Light sheet" : "Dark sheet";
  return (
    <header class="stages">
      <a class="skip" href="#page" onClick={toPage}>
        To the page
      </a>
      <a class="name" href={address("start")} aria-label="Loopwright: all projects">
        <img src="/mark.svg" alt="" />
        <span>Loopwright</span>
      </a>
      <nav aria-label="Stages" style={{ display: "flex", flex: 1, minWidth: 0 }}>
        <ol>
          {file.value &&
            STAGES.map((one) => (
              <li key={one}>
                <a href={address(one)} aria-current={stage.value === one ? "page" : undefined}>
                  {WORDS[one]}
                  <Sign of={one} />
                </a>
              </li>
            ))}
        </ol>
      </nav>
      <div class="tools">
        <button class="plain" onClick={turnTheme}>
          {other}
        </button>
      </div>
    </header>
  );
}

/** A small sign beside a stage: errors in the file, work that runs. */
function Sign({ of }: { of: Stage }) {
  if (of === "project" && ready.value && errors.value > 0) {
    return <span class="sign alarm">{errors.value} ✕</span>;
  }
  const kinds: readonly string[] = { proof: ["prove", "remedy", "recover"], stress: ["stress"], compare: ["compare"] }[of as string] ?? [];
  const busy = running.value.some((job) => job.file === file.value && kinds.includes(job.kind));
  return busy ? <span class="sign soft">…</span> : null;
}

function toPage(event: Event): void {
  event.preventDefault();
  document.getElementById("page")?.focus();
}
