// Findings in order: what is wrong, where, and what to do.
import type { Finding } from "../messages";
import { Marked } from "./Marked";

interface Props {
  readonly findings: readonly Finding[];
  /** Called with a finding that somebody wants to see in its place. */
  readonly show?: (finding: Finding) => void;
}

/** A sign for each severity, told apart without colour. */
export const SIGNS: Record<Finding["severity"], string> = { error: "✕", warning: "▲", note: "·" };

export function FindingList({ findings, show }: Props) {
  if (findings.length === 0) return <p class="soft">Nothing to tell.</p>;
  return (
    <ul class="findings">
      {findings.map((finding, index) => (
        <li key={index} class={finding.severity}>
          <span class="sign" aria-hidden="true">
            {SIGNS[finding.severity]}
          </span>
          <div>
            <span class="unseen">{finding.severity}: </span>
            <Marked text={finding.message} />
            {finding.allowed && <span class="soft"> Allowed: {finding.allowed}.</span>}
            {finding.remedy && (
              <div class="remedy">
                <Marked text={finding.remedy} />
              </div>
            )}
          </div>
          {place(finding) && show ? (
            <button class="plain" onClick={() => show(finding)}>
              {place(finding)}
            </button>
          ) : (
            <span class="soft">{place(finding)}</span>
          )}
          <code class="soft">{finding.code}</code>
        </li>
      ))}
    </ul>
  );
}

function place(finding: Finding): string {
  if (finding.line) return `line ${finding.line}`;
  return finding.device ?? finding.path ?? "";
}
