// To a place of the text, whatever is shown now.
import { showPlace } from "./editor/Editor";
import { side, wide } from "./view";

/** Show `line` and `column`, from 1, in the editor. */
export function goTo(line: number, column = 1): void {
  if (wide.value || side.value === "text") {
    showPlace(line, column);
    return;
  }
  side.value = "text";
  requestAnimationFrame(() => requestAnimationFrame(() => showPlace(line, column)));
}
