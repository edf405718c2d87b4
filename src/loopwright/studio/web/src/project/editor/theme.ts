// The editor in the colours of the sheet, light and dark alike.
import { HighlightStyle, syntaxHighlighting } from "@codemirror/language";
import { EditorView } from "@codemirror/view";
import { tags } from "@lezer/highlight";

const look = EditorView.theme({
  "&": { height: "100%", color: "var(--ink)", backgroundColor: "var(--sheet)", fontSize: "12.5px" },
  "&.cm-focused": { outline: "none" },
  ".cm-scroller": { fontFamily: "var(--mono)", lineHeight: "1.5" },
  ".cm-content": { caretColor: "var(--ink)", padding: "6px 0" },
  ".cm-cursor, .cm-dropCursor": { borderLeftColor: "var(--ink)" },
  ".cm-gutters": { backgroundColor: "var(--panel)", color: "var(--soft)", borderRight: "1px solid var(--grid)" },
  ".cm-activeLine": { backgroundColor: "color-mix(in srgb, var(--grid) 55%, transparent)" },
  ".cm-activeLineGutter": { backgroundColor: "var(--grid)", color: "var(--ink)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": {
    background: "color-mix(in srgb, var(--focus) 26%, transparent)",
  },
  ".cm-matchingBracket, &.cm-focused .cm-matchingBracket": { backgroundColor: "var(--grid)", outline: "1px solid var(--faint)" },
  ".cm-nonmatchingBracket, &.cm-focused .cm-nonmatchingBracket": { color: "var(--alarm)", backgroundColor: "transparent" },
  ".cm-searchMatch": { backgroundColor: "transparent", outline: "1px solid var(--warn)" },
  ".cm-searchMatch-selected": { backgroundColor: "color-mix(in srgb, var(--warn) 30%, transparent)" },
  ".cm-foldPlaceholder": { background: "var(--grid)", border: "none", color: "var(--soft)", padding: "0 6px" },
  ".cm-panels": { backgroundColor: "var(--panel)", color: "var(--ink)", fontSize: "12px" },
  ".cm-panels.cm-panels-top": { borderBottom: "1px solid var(--edge)" },
  ".cm-panels.cm-panels-bottom": { borderTop: "1px solid var(--edge)" },
  ".cm-panel.cm-search": { padding: "6px 28px 6px 8px" },
  ".cm-panel.cm-search label": { fontSize: "12px" },
  ".cm-panel.cm-search [name=close]": { minHeight: "0", padding: "2px 6px" },
  ".cm-textfield": { border: "1px solid var(--soft)", borderRadius: "0", fontSize: "12px", backgroundColor: "var(--sheet)" },
  ".cm-button": {
    backgroundImage: "none", backgroundColor: "var(--sheet)", border: "1px solid var(--soft)", borderRadius: "0", fontSize: "12px",
    "&:active": { backgroundImage: "none", backgroundColor: "var(--grid)" },
  },
  ".cm-tooltip": { backgroundColor: "var(--sheet)", color: "var(--ink)", border: "1px solid var(--edge)", fontSize: "12px" },
  ".cm-tooltip.cm-tooltip-autocomplete > ul": { fontFamily: "var(--mono)", maxHeight: "16em" },
  ".cm-tooltip.cm-tooltip-autocomplete > ul > li": { padding: "2px 8px", lineHeight: "1.4" },
  ".cm-tooltip-autocomplete ul li[aria-selected]": { background: "var(--ink)", color: "var(--sheet)" },
  ".cm-tooltip.cm-completionInfo": { padding: "6px 8px", maxWidth: "34ch", fontFamily: "var(--font)" },
  ".cm-completionDetail": { color: "var(--soft)", fontStyle: "normal", marginLeft: "1.5em" },
  "li[aria-selected] .cm-completionDetail": { color: "var(--sheet)" },
  ".cm-completionMatchedText": { textDecoration: "none", fontWeight: "600" },
  ".cm-diagnostic": { padding: "4px 8px", borderLeft: "3px solid var(--faint)", fontFamily: "var(--font)", maxWidth: "60ch" },
  ".cm-diagnostic-error": { borderLeftColor: "var(--alarm)" },
  ".cm-diagnostic-warning": { borderLeftColor: "var(--warn)" },
  ".cm-diagnostic-info": { borderLeftColor: "var(--soft)" },
  ".cm-diagnostic .remedy": { color: "var(--soft)" },
  ".cm-lintRange": { backgroundImage: "none", textDecoration: "underline wavy 1px var(--soft)", textUnderlineOffset: "3px", textDecorationSkipInk: "none" },
  ".cm-lintRange-error": { textDecorationColor: "var(--alarm)" },
  ".cm-lintRange-warning": { textDecorationColor: "var(--warn)" },
  ".cm-lintRange-active": { backgroundColor: "var(--grid)" },
  ".cm-lintPoint:after": { borderBottomColor: "var(--alarm)" },
  ".cm-gutter-lint": { width: "16px" },
  ".cm-gutter-lint .cm-gutterElement": { padding: "0" },
  ".cm-lint-marker": { width: "16px", height: "100%", content: "normal !important", textAlign: "center", fontFamily: "var(--font)", fontSize: "11px" },
  ".cm-lint-marker-error": { content: "normal !important", color: "var(--alarm)" },
  ".cm-lint-marker-error::before": { content: "'✕'" },
  ".cm-lint-marker-warning": { content: "normal !important", color: "var(--warn)" },
  ".cm-lint-marker-warning::before": { content: "'▲'", fontSize: "9px" },
  ".cm-lint-marker-info": { content: "normal !important", color: "var(--soft)" },
  ".cm-lint-marker-info::before": { content: "'·'", fontWeight: "700" },
});

const words = HighlightStyle.define([
  { tag: [tags.definition(tags.propertyName), tags.propertyName], color: "var(--ink)", fontWeight: "600" },
  { tag: [tags.string, tags.content, tags.attributeValue], color: "var(--ink)" },
  { tag: tags.comment, color: "var(--soft)", fontStyle: "italic" },
  { tag: [tags.separator, tags.punctuation, tags.squareBracket, tags.brace], color: "var(--soft)" },
  { tag: [tags.keyword, tags.typeName, tags.labelName], color: "var(--power)" },
]);

export const theme = [look, syntaxHighlighting(words)];
