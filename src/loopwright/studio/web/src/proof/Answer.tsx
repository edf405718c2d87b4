// An answer by word, sign and colour.
import type { Outcome } from "./verdicts";

const SIGNS: Record<Outcome, string> = { proved: "✓", refuted: "✕", undecided: "?" };

export function Answer({ outcome, count }: { outcome: Outcome | null; count?: number }) {
  if (outcome === null) return <span class="soft">no loops</span>;
  return (
    <span class={`answer ${outcome}`}>
      <span aria-hidden="true">{SIGNS[outcome]}</span> {count !== undefined && `${count} `}
      {outcome}
    </span>
  );
}
