// A change that a page wrote into the file, and the way back while nothing else was changed.
import { signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { loaded, text } from "../state/document";

/** What was written last. */
const written = signal<{ readonly file: string; readonly told: string; readonly before: string; readonly after: string } | null>(null);

/** Make `after` the text of the file; `told` says what changes. */
export function write(told: string, after: string): void {
  written.value = { file: loaded.value, told, before: text.value, after };
  text.value = after;
}

/** What was written last, with what may be done next. */
export function Written({ children }: { children?: ComponentChildren }) {
  const done = written.value;
  if (!done || done.file !== loaded.value || text.value !== done.after) return null;
  return (
    <p class="note good" role="status">
      <code>{done.told}</code> is written into the file; comments stay. {children}{" "}
      <button
        onClick={() => {
          text.value = done.before;
          written.value = null;
        }}
      >
        Take it back
      </button>
    </p>
  );
}
