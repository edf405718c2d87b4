// A figure for people; the exact one is told when it is pointed at.
import { percent, shown, valueOf } from "./figure";

interface Props {
  readonly value: string | number;
  readonly digits?: number;
}

export function Figure({ value, digits }: Props) {
  const text = shown(value, digits);
  return text === String(value) ? <>{text}</> : <span title={`exactly ${value}`}>{text}</span>;
}

/** A figure and, where it differs, what it was before. */
export function Changed({ from, to, digits }: { readonly from: string | number | undefined; readonly to: string | number; readonly digits?: number }) {
  const same = from === undefined || valueOf(from) === valueOf(to);
  return (
    <>
      {!same && (
        <span class="soft">
          {shown(from, digits)} <span aria-label="becomes">→</span>{" "}
        </span>
      )}
      <span class={same ? "" : "differs"}>
        <Figure value={to} {...(digits ? { digits } : {})} />
      </span>
    </>
  );
}

/** A share as a bar with its per cent. */
export function Share({ of, full }: { readonly of: string | number; readonly full?: boolean }) {
  const value = Math.max(0, Math.min(1, valueOf(of) ?? 0));
  return (
    <span class="share-bar">
      <span class="bar-line" aria-hidden="true">
        <span class={full ? "filled full" : "filled"} style={{ width: `${value * 100}%` }} />
      </span>
      <span class="share-figure">{percent(of)}</span>
    </span>
  );
}
