// What the Project page shows: text or form, history, a table to be put in.
import { signal } from "@preact/signals";

export type Side = "text" | "form";

/** Which of text and form is shown where there is no room for both. */
export const side = signal<Side>("text");
export const historyOpen = signal(false);

/** A place of the text that is to be shown, from 1; null once the editor has shown it. With `take`
 *  the cursor goes there too. */
export const wanted = signal<{ readonly line: number; readonly column: number; readonly take: boolean } | null>(null);

/** Go to a place of the text, whatever is shown now. */
export function goTo(line: number, column = 1): void {
  side.value = "text";
  wanted.value = { line, column, take: true };
}

/** Let the text show `line` beside the form, where there is room for both. */
export function showBeside(line: number): void {
  if (wide.peek()) wanted.value = { line, column: 1, take: false };
}

/** A table that somebody wants in the file. */
export interface Incoming {
  readonly name: string;
  readonly table: string;
}
export const incoming = signal<readonly Incoming[]>([]);

/** From this width on text and form stand side by side [px]. */
const BOTH = "(min-width: 1200px)";

const media = window.matchMedia(BOTH);
export const wide = signal(media.matches);
media.addEventListener("change", () => (wide.value = media.matches));
