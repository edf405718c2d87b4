// Completion of keys and values, from the schema and from the names in the file itself.
import type { Completion, CompletionContext, CompletionResult } from "@codemirror/autocomplete";
import { syntaxTree } from "@codemirror/language";
import type { EditorState } from "@codemirror/state";
import type { SyntaxNode } from "@lezer/common";
import { placeAt } from "./place";
import type { Place, Step } from "./place";
import { ofMaterials, schemasAt, sectionOf, unitsOf, wordsOf } from "./schema";
import type { Schema } from "./schema";

/** Lines looked at above and below the cursor. */
const AROUND = 3000;

/** A source of completions that asks `schema` each time; none while that is not here yet. */
export function completeBy(schema: () => Schema | null) {
  return (context: CompletionContext): CompletionResult | null => {
    const root = schema();
    if (!root || inComment(context)) return null;
    const line = context.state.doc.lineAt(context.pos);
    const first = Math.max(1, line.number - AROUND);
    const last = Math.min(context.state.doc.lines, line.number + AROUND);
    const lines: string[] = [];
    for (const text of context.state.doc.iterLines(first, last + 1)) lines.push(text);
    const place = placeAt(lines, line.number - first, context.pos - line.from);
    const from = line.from + place.from;
    if (from > context.pos || (from === context.pos && place.at === "key" && !context.explicit && line.text.trim())) return null;
    const here = schemasAt(root, place.path);
    const maps = here.filter((one) => one.type === "object");
    const word = context.state.sliceDoc(from, context.pos);
    const options =
      place.at === "key" && maps.length > 0
        ? maps.flatMap((one) => keyOptions(context.state, place, one))
        : here.flatMap((one) => valueOptions(context.state, place.path, one, word));
    const fresh = distinct(options);
    return fresh.length > 0 ? { from, options: fresh, validFor: /^[\w .\/-]*$/ } : null;
  };
}

function keyOptions(state: EditorState, place: Place, schema: Schema): Completion[] {
  const names = ofMaterials(place.path) ? keysAt(state, ["materials"]) : [];
  const found: Completion[] = names.filter((name) => !place.beside.has(name)).map((name) => ({ label: name, apply: `${name}: `, detail: "material" }));
  const required = new Set(schema.required);
  for (const [key, one] of Object.entries(schema.properties ?? {})) {
    if (place.beside.has(key)) continue;
    found.push({
      label: key,
      apply: `${key}: `,
      detail: required.has(key) ? "needed" : standing(one),
      boost: required.has(key) ? 10 : 0,
      ...(one.description ? { info: one.description } : {}),
    });
  }
  return found;
}

function valueOptions(state: EditorState, path: readonly Step[], schema: Schema, word: string): Completion[] {
  const info = schema.description ? { info: schema.description } : {};
  const found: Completion[] = wordsOf(schema).map((one) => ({ label: one, ...info }));
  const section = sectionOf(path, schema);
  if (section) found.push(...keysAt(state, section).map((name) => ({ label: name, detail: section.at(-1) ?? "", ...info })));
  const number = /^[0-9][0-9./ ]*?(?= *[a-z/]*$)/.exec(word)?.[0].trimEnd();
  if (number) found.push(...unitsOf(schema).map((unit) => ({ label: unit.startsWith("/") ? number + unit : `${number} ${unit}`, ...info })));
  else if (standing(schema) && found.length === 0 && !word) found.push({ label: standing(schema), detail: "default", ...info });
  return found;
}

/** The default of an entry, where it is a plain one. */
function standing(schema: Schema): string {
  const value = schema.default;
  return typeof value === "string" || typeof value === "number" ? String(value) : "";
}

function distinct(options: readonly Completion[]): Completion[] {
  return [...new Map(options.map((one) => [one.label, one])).values()];
}

function inComment(context: CompletionContext): boolean {
  return syntaxTree(context.state).resolveInner(context.pos, -1).name === "Comment";
}

/** Keys of the mapping at `path` of the file. */
export function keysAt(state: EditorState, path: readonly string[]): readonly string[] {
  let node = mappingIn(syntaxTree(state).topNode);
  for (const step of path) {
    node = node ? mappingIn(pairs(state, node).find(([key]) => key === step)?.[1] ?? null) : null;
  }
  return node ? pairs(state, node).map(([key]) => key) : [];
}

function mappingIn(node: SyntaxNode | null): SyntaxNode | null {
  for (let child = node?.firstChild ?? null; child; child = child.nextSibling) {
    if (child.name === "BlockMapping" || child.name === "FlowMapping") return child;
    if (child.name === "Document" || child.name === "Stream") {
      const found = mappingIn(child);
      if (found) return found;
    }
  }
  return null;
}

function pairs(state: EditorState, mapping: SyntaxNode): [string, SyntaxNode][] {
  return mapping.getChildren("Pair").flatMap((pair): [string, SyntaxNode][] => {
    const key = pair.getChild("Key");
    return key ? [[state.sliceDoc(key.from, key.to).replace(/^["']|["']$/g, ""), pair]] : [];
  });
}
