// What the editor can do.
import { autocompletion, closeBrackets, closeBracketsKeymap, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, indentWithTab } from "@codemirror/commands";
import { yaml } from "@codemirror/lang-yaml";
import { bracketMatching, codeFolding, foldGutter, foldKeymap, indentOnInput, indentUnit } from "@codemirror/language";
import { lintGutter, lintKeymap } from "@codemirror/lint";
import { highlightSelectionMatches, search, searchKeymap } from "@codemirror/search";
import {
  drawSelection, EditorView, highlightActiveLine, highlightActiveLineGutter, keymap, lineNumbers, rectangularSelection,
} from "@codemirror/view";
import { text } from "../../state/document";
import { completeBy } from "./complete";
import { withEnds } from "./ends";
import { schema } from "./schema";
import { theme } from "./theme";

export const extensions = [
  lineNumbers(),
  highlightActiveLineGutter(),
  lintGutter(),
  foldGutter({ openText: "▾", closedText: "▸" }),
  codeFolding({ placeholderText: "…" }),
  history(),
  drawSelection(),
  rectangularSelection(),
  indentOnInput(),
  indentUnit.of("  "),
  bracketMatching(),
  closeBrackets(),
  autocompletion({ override: [completeBy(() => schema.peek())], icons: false }),
  highlightActiveLine(),
  highlightSelectionMatches(),
  search({ top: true }),
  yaml(),
  theme,
  EditorView.contentAttributes.of({
    "aria-label": "Text of the project file",
    "aria-description": "Escape, then Tab leaves the text.",
    tabindex: "0",
  }),
  keymap.of([
    ...closeBracketsKeymap,
    ...defaultKeymap,
    ...searchKeymap,
    ...historyKeymap,
    ...foldKeymap,
    ...completionKeymap,
    ...lintKeymap,
    indentWithTab,
  ]),
  EditorView.updateListener.of((update) => {
    if (update.docChanged) text.value = withEnds(update.state.doc.toString());
  }),
];
