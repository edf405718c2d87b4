// The JSON Schema of project files: what may stand at a key path.
import { signal } from "@preact/signals";
import { ask } from "../../api/http";
import type { Step } from "./place";

export interface Schema {
  readonly $ref?: string;
  readonly $defs?: Record<string, Schema>;
  readonly type?: string;
  readonly properties?: Record<string, Schema>;
  readonly patternProperties?: Record<string, Schema>;
  readonly required?: readonly string[];
  readonly items?: Schema;
  readonly anyOf?: readonly Schema[];
  readonly enum?: readonly unknown[];
  readonly description?: string;
  readonly default?: unknown;
  readonly pattern?: string;
}

/** The schema, once it is read; it is the same for every file. */
export const schema = signal<Schema | null>(null);
let wanted = false;

export function wantSchema(): void {
  if (wanted) return;
  wanted = true;
  ask<Schema>("GET", "/api/schema").then(
    (told) => (schema.value = told),
    () => (wanted = false),
  );
}

/** Schemas that the value at `path` may follow: one, or several where there are alternatives. */
export function schemasAt(root: Schema, path: readonly Step[]): readonly Schema[] {
  let here = alternatives(root, root);
  for (const step of path) {
    here = here.flatMap((schema) => below(schema, step)).flatMap((schema) => alternatives(root, schema));
  }
  return here;
}

function below(schema: Schema, step: Step): readonly Schema[] {
  if (typeof step === "number") return schema.items ? [schema.items] : [];
  const named = schema.properties?.[step];
  if (named) return [named];
  return Object.entries(schema.patternProperties ?? {}).flatMap(([pattern, one]) => (new RegExp(pattern).test(step) ? [one] : []));
}

/** A schema with references followed; what stands beside a reference goes with it. */
function alternatives(root: Schema, schema: Schema): readonly Schema[] {
  if (schema.$ref) {
    const target = root.$defs?.[schema.$ref.split("/").at(-1) as string];
    if (!target) return [];
    const { $ref: _, ...own } = schema;
    return alternatives(root, { ...target, ...own });
  }
  if (!schema.anyOf) return [schema];
  const { anyOf, ...own } = schema;
  return anyOf.flatMap((one) => alternatives(root, { ...own, ...one }));
}

/** Units that a quantity may have, from its pattern: what stands in its last brackets. */
export function unitsOf(schema: Schema): readonly string[] {
  const found = /\(([^()]*)\) \*\$$/.exec(schema.pattern ?? "");
  return (found?.[1] ?? "")
    .split("|")
    .map((unit) => unit.replace(/ \*/g, "").trim())
    .filter((unit) => unit !== "");
}

/** Words that may stand as a value. */
export function wordsOf(schema: Schema): readonly string[] {
  return (schema.enum ?? []).filter((word): word is string => typeof word === "string");
}

/** The section whose keys are values here, as its description says; null where none is. */
export function sectionOf(path: readonly Step[], schema: Schema): readonly string[] | null {
  const said = /a key of ([a-z_.]+)\./.exec(schema.description ?? "")?.[1];
  if (said) return said.split(".");
  return path[0] === "choices" ? (CHOSEN[String(path.at(-1))] ?? null) : null;
}

/** Whether the keys of a map at `path` are names of materials. */
export function ofMaterials(path: readonly Step[]): boolean {
  const [section, entry, side] = path.map(String);
  if (path.length === 1) return section === "demand";
  if (path.length === 2) return section === "choices" && entry === "quotas";
  return path.length === 3 && section === "processes" && ["inputs", "caps", "outputs"].includes(String(side));
}

const CHOSEN: Record<string, readonly string[]> = {
  process: ["processes"],
  belt: ["equipment", "belts"],
  output_belt: ["equipment", "belts"],
  collector_belt: ["equipment", "belts"],
  picker: ["equipment", "pickers"],
  output_picker: ["equipment", "pickers"],
  power_node: ["equipment", "power_nodes"],
  maximise: ["demand"],
};
