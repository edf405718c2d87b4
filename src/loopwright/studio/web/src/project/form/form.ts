// The form's fields as a tree, and what is found at each.
import type { Finding, FormField } from "../../messages";
import type { Path } from "../../state/edit";
import { Latest } from "../../state/latest";
import type { Form } from "../../messages";

export const form = new Latest<Form>("/api/form");

export interface Node {
  readonly id: string;
  readonly path: Path;
  /** Null where the file has an entry that the form does not name. */
  readonly field: FormField | null;
  readonly children: readonly Node[];
}

/** Fields by what they stand below, in their order. */
export function treeOf(fields: readonly FormField[]): readonly Node[] {
  interface Growing extends Node {
    field: FormField | null;
    children: Growing[];
  }
  const top: Growing[] = [];
  const known = new Map<string, Growing>();
  const grown = (path: Path): Growing => {
    const id = pathText(path);
    const there = known.get(id);
    if (there) return there;
    const made: Growing = { id, path, field: null, children: [] };
    known.set(id, made);
    if (path.length > 1) grown(path.slice(0, -1)).children.push(made);
    else top.push(made);
    return made;
  };
  for (const field of fields) grown(field.path).field = field;
  return top;
}

/** A key path as findings have it: site.docks[2].rate, lists counted from 1. */
export function pathText(path: Path): string {
  return path.reduce<string>((text, step) => (typeof step === "number" ? `${text}[${step + 1}]` : text ? `${text}.${step}` : step), "");
}

/** Findings by the field they are shown at: their own, or the nearest above that is there. */
export function findingsAt(findings: readonly Finding[], fields: readonly FormField[]): ReadonlyMap<string, readonly Finding[]> {
  const ids = new Set(fields.map((field) => pathText(field.path)));
  const found = new Map<string, Finding[]>();
  for (const finding of findings) {
    let at = finding.path ?? "";
    while (at && !ids.has(at)) at = at.replace(/(\.[^.[\]]*|\[\d+\]|^[^.[\]]+)$/, "");
    if (at) found.set(at, [...(found.get(at) ?? []), finding]);
  }
  return found;
}

/** The worst that is found at `node` or below it; null where nothing is. */
export function worstAt(node: Node, found: ReadonlyMap<string, readonly Finding[]>): Finding["severity"] | null {
  const own = (found.get(node.id) ?? []).map((one) => one.severity);
  const all = [...own, ...node.children.map((child) => worstAt(child, found))];
  return (["error", "warning", "note"] as const).find((one) => all.includes(one)) ?? null;
}

/** Whether `node` has to do with what is looked for: in its key, title or value. */
export function matches(node: Node, sought: string): boolean {
  if (!sought) return true;
  const said = [String(node.path.at(-1)), node.field?.title ?? "", node.field?.value ?? ""];
  return said.some((one) => one.toLowerCase().includes(sought)) || node.children.some((child) => matches(child, sought));
}
