// From a finding on any page to its place in the text.
import type { Finding } from "../messages";
import { loaded } from "../state/document";
import { go } from "../state/route";
import { goTo } from "./view";

/** Whether a finding is about the file that is open, not about a catalogue beside it. */
export function isHere(finding: Finding, file: string): boolean {
  return !finding.file || finding.file === file || finding.file.endsWith(`/${file}`);
}

/** Show where `finding` points, on the Project page. */
export function showFinding(finding: Finding): void {
  if (!finding.line || !isHere(finding, loaded.value)) return;
  goTo(finding.line, finding.column ?? 1);
  go("project");
}
