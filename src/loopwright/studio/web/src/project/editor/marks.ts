// Findings as marks in the text: where each stands, and what it says.
import type { Diagnostic } from "@codemirror/lint";
import type { Text } from "@codemirror/state";
import type { Finding } from "../../messages";
import { isHere } from "../go";

/** Findings of the open file that have a line, as marks in `doc`. */
export function marksOf(findings: readonly Finding[], doc: Text, file: string): Diagnostic[] {
  return findings
    .filter((finding) => finding.line && finding.line <= doc.lines && isHere(finding, file))
    .map((finding) => {
      const [from, to] = span(finding, doc);
      return {
        from,
        to,
        severity: finding.severity === "note" ? "info" : finding.severity,
        message: finding.message,
        renderMessage: () => said(finding),
      };
    });
}

/** From the finding's column to the end of the word or value that stands there. */
function span(finding: Finding, doc: Text): [number, number] {
  const line = doc.line(finding.line as number);
  const start = Math.min(line.from + (finding.column ?? 1) - 1, line.to);
  const rest = doc.sliceString(start, line.to);
  const quoted = /^("[^"]*"|'[^']*')/.exec(rest)?.[0];
  const word = quoted ?? /^([{[]|.*?(?=\s+#|:\s|:$|[,}\]]|$))/.exec(rest)?.[0].trimEnd() ?? "";
  if (word) return [start, start + word.length];
  return line.length > 0 ? [line.from + (line.text.length - line.text.trimStart().length), line.to] : [line.from, line.from];
}

function said(finding: Finding): Node {
  const whole = document.createElement("div");
  whole.append(finding.message);
  const more = [finding.allowed ? `Allowed: ${finding.allowed}.` : "", finding.remedy ?? ""].filter(Boolean).join(" ");
  if (more) {
    const remedy = document.createElement("div");
    remedy.className = "remedy";
    remedy.textContent = more;
    whole.append(remedy);
  }
  return whole;
}
