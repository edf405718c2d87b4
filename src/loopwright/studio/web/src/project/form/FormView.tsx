// The project file as a form: the same entries as in the text, those left out too.
import { useSignal } from "@preact/signals";
import { useEffect, useMemo } from "preact/hooks";
import { findings, loaded, text } from "../../state/document";
import { present } from "../../state/jobs";
import { wantSchema } from "../editor/schema";
import { findingsAt, form, matches, treeOf } from "./form";
import { Group } from "./Group";

/** Time without a key pressed after which the form follows the text [ms]. */
const AFTER = 120;

export function FormView() {
  const sought = useSignal("");
  const [file, now, there] = [loaded.value, text.value, present.value];
  useEffect(wantSchema, []);
  useEffect(() => {
    if (!file || !there) return;
    const timer = window.setTimeout(() => form.ask(file, { text: now }), form.answer.peek() ? AFTER : 0);
    return () => window.clearTimeout(timer);
  }, [file, now, there]);

  const told = form.of.value === file ? form.answer.value : null;
  const fields = told?.fields ?? [];
  const tree = useMemo(() => treeOf(fields), [fields]);
  const found = useMemo(() => findingsAt(findings.value, fields), [findings.value, fields]);
  if (!told) return <p class="soft pad">{form.fault.value || "Reading the form"}</p>;
  if (fields.length === 0) {
    return (
      <p class="note warn pad">The form is empty until the text can be read as YAML. The findings below say where it cannot.</p>
    );
  }
  const word = sought.value.trim().toLowerCase();
  const shown = tree.filter((node) => matches(node, word));
  return (
    <div class="form">
      <div class="form-find">
        <input
          type="search"
          placeholder="Find an entry"
          aria-label="Find an entry of the form"
          value={sought.value}
          onInput={(event) => (sought.value = event.currentTarget.value)}
        />
        {form.fault.value && <span class="alarm">{form.fault.value}</span>}
      </div>
      {shown.map((node) => (
        <Group key={node.id} node={node} found={found} sought={word} depth={0} own={false} />
      ))}
      {shown.length === 0 && <p class="soft pad">No entry has “{word}” in it.</p>}
    </div>
  );
}
