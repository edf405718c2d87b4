// A section of the form, or one entry of it: a name that opens, and what stands below.
import { useEffect, useId, useState } from "preact/hooks";
import type { Finding } from "../../messages";
import { SIGNS } from "../../parts/FindingList";
import { Marked } from "../../parts/Marked";
import { setValue } from "../../state/edit";
import type { Path } from "../../state/edit";
import { schema, schemasAt } from "../editor/schema";
import type { Schema } from "../editor/schema";
import { Field, Said } from "./Field";
import { matches, worstAt } from "./form";
import type { Node } from "./form";

interface Props {
  readonly node: Node;
  readonly found: ReadonlyMap<string, readonly Finding[]>;
  readonly sought: string;
  readonly depth: number;
  /** Whether the designer named it, or put it into a list: then it can be taken out. */
  readonly own: boolean;
}

const LOOKS: Record<Finding["severity"], string> = { error: "alarm", warning: "warn", note: "soft" };

/** Sections that are open at first; the others say what they hold in their line. */
const OPEN = ["project", "demand", "choices"];

export function Group({ node, found, sought, depth, own }: Props) {
  const said = found.get(node.id) ?? [];
  const worst = worstAt(node, found);
  const wrong = worst === "error";
  const [open, setOpen] = useState(depth === 0 ? OPEN.includes(node.id) : false);
  useEffect(() => {
    if (wrong || sought) setOpen(true);
  }, [wrong, sought]);
  const key = node.path.at(-1);
  const item = typeof key === "number" ? `${key + 1}` : String(key);
  const more = takesMore(node);
  return (
    <details class={depth === 0 ? "group section" : "group"} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <span class="key">{depth === 0 ? title(node) : item}</span>
        <span class="soft line">{open ? <Marked text={node.field?.help ?? ""} /> : summary(node)}</span>
        {worst && <span class={LOOKS[worst]}>{SIGNS[worst]}</span>}
      </summary>
      {open && (
        <div class="inside">
          <Said findings={said} />
          {node.children
            .filter((child) => matches(child, sought) || String(key).toLowerCase().includes(sought))
            .map((child) =>
              isGroup(child) ? (
                <Group key={child.id} node={child} found={found} sought={matchesBelow(child, sought) ? sought : ""} depth={depth + 1} own={more} />
              ) : (
                <Field key={child.id} node={child} findings={found.get(child.id) ?? []} own={more} />
              ),
            )}
          {more && <Add node={node} />}
          {own && (
            <div class="bar end">
              <button class="plain" onClick={() => void setValue(node.path, null)}>
                Take out {item}
              </button>
            </div>
          )}
        </div>
      )}
    </details>
  );
}

function matchesBelow(node: Node, sought: string): boolean {
  return node.children.some((child) => matches(child, sought));
}

function isGroup(node: Node): boolean {
  return node.children.length > 0 || node.field?.kind === "map" || node.field?.kind === "list" || node.field === null;
}

/** Whether entries with names of the designer's own, or items, may be added. */
function takesMore(node: Node): boolean {
  if (!schema.value) return false;
  return schemasAt(schema.value, node.path).some((one) => one.patternProperties !== undefined || one.items !== undefined);
}

function Add({ node }: { readonly node: Node }) {
  const [name, setName] = useState("");
  const [value, setValueText] = useState("");
  const list = node.field?.kind === "list";
  const seed = schema.value ? seedOf(schema.value, [...node.path, list ? 0 : "name"]) : null;
  const titled = seed === "title" && !list;
  const ready = (list || /^[A-Za-z][A-Za-z0-9_-]{0,39}$/.test(name)) && (titled || value.trim() !== "");
  function add(): void {
    const path = [...node.path, list ? node.children.length : name];
    void setValue(seed === null ? path : [...path, seed], titled ? name : value.trim());
    setName("");
    setValueText("");
  }
  const of = title(node).toLowerCase();
  const allowed = node.field?.allowed ?? [];
  const names = useId();
  return (
    <form
      class="add bar"
      onSubmit={(event) => {
        event.preventDefault();
        if (ready) add();
      }}
    >
      {!list && (
        <input
          type="text"
          aria-label={`Name of a new entry of ${of}`}
          placeholder="new name"
          value={name}
          list={allowed.length > 0 ? names : undefined}
          onInput={(event) => setName(event.currentTarget.value)}
        />
      )}
      {!titled && (
        <input
          type="text"
          aria-label={`${seed ?? "Value"} of a new entry of ${of}`}
          placeholder={seed ?? "value"}
          value={value}
          onInput={(event) => setValueText(event.currentTarget.value)}
        />
      )}
      {allowed.length > 0 && (
        <datalist id={names}>
          {allowed.map((one) => (
            <option key={one} value={one} />
          ))}
        </datalist>
      )}
      <button type="submit" disabled={!ready}>
        Add
      </button>
    </form>
  );
}

/** The entry by which a new section is begun; null where a single value goes there. */
function seedOf(root: Schema, path: Path): string | null {
  const section = schemasAt(root, path).find((one) => one.type === "object");
  if (!section) return null;
  const keys = Object.keys(section.properties ?? {});
  return keys.includes("title") ? "title" : (section.required?.[0] ?? keys[0] ?? null);
}

function title(node: Node): string {
  return node.field?.title || String(node.path.at(-1));
}

/** What an entry holds, in a line. */
function summary(node: Node): string {
  if (node.children.length === 0) return node.field?.given ? "" : "not given";
  const named = node.children.find((child) => child.path.at(-1) === "title" || child.path.at(-1) === "name");
  if (named?.field?.value) return named.field.value;
  const given = node.children.flatMap((child) => {
    if (!child.field?.given) return [];
    if (isGroup(child)) return takesMore(child) ? [`${childName(child)} ${child.children.length}`] : [childName(child)];
    return child.field.value ? [`${childName(child)} ${child.field.value}`] : [];
  });
  return takesMore(node) && node.children.every(isGroup) ? node.children.map(childName).join(", ") : given.join(", ") || "not given";
}

function childName(node: Node): string {
  const key = node.path.at(-1);
  return typeof key === "number" ? `${key + 1}` : String(key);
}
