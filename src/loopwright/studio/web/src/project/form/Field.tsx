// One value of the form: its name, what it means, a control of its kind, and what is wrong with it.
import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Finding, FormField } from "../../messages";
import { Marked } from "../../parts/Marked";
import { setValue } from "../../state/edit";
import { goTo, showBeside } from "../view";
import type { Node } from "./form";

/** Time without a key pressed after which a value is written [ms]. */
const WRITE_AFTER = 350;

/** A text longer than this has the whole width [characters]. */
const LONG = 20;

interface Props {
  readonly node: Node;
  readonly findings: readonly Finding[];
  /** Whether the designer named it; it is taken out by leaving it empty. */
  readonly own: boolean;
}

export function Field({ node, findings, own }: Props) {
  const field = node.field as FormField;
  const id = useId();
  const bad = findings.some((finding) => finding.severity === "error");
  const common = { id, "aria-describedby": `${id}-help`, "aria-invalid": bad, "aria-required": field.required };
  const key = String(field.path.at(-1));
  const long = field.kind === "text" && (field.value ?? "").length > LONG;
  return (
    <div
      class={`field${field.given ? " given" : ""}${long ? " long" : ""}`}
      onFocusIn={() => {
        if (field.line) showBeside(field.line);
      }}
    >
      <label for={id}>
        {key}
        {field.required && !own && <span class="soft"> needed</span>}
      </label>
      <div class="value">
        {field.kind === "choice" || field.kind === "flag" ? <Choice field={field} common={common} /> : <Words field={field} common={common} />}
        {field.unit && !/[a-z/]/i.test(field.value ?? "") && <span class="soft">{field.unit}</span>}
        {field.line && (
          <button class="plain to-line" onClick={() => goTo(field.line as number)} aria-label={`${key}: go to line ${field.line}`} title={`go to line ${field.line}`}>
            {field.line}
          </button>
        )}
      </div>
      <div class="help" id={`${id}-help`}>
        <Marked text={field.help} />
        <Said findings={findings} />
      </div>
    </div>
  );
}

/** Findings at their field. */
export function Said({ findings }: { readonly findings: readonly Finding[] }) {
  return (
    <>
      {findings.map((finding, index) => (
        <p key={index} class={finding.severity === "error" ? "alarm" : "warn"}>
          <Marked text={finding.remedy ? `${finding.message}: ${finding.remedy}` : finding.message} />
        </p>
      ))}
    </>
  );
}

interface ControlProps {
  readonly field: FormField;
  readonly common: { readonly id: string; readonly "aria-describedby": string; readonly "aria-invalid": boolean; readonly "aria-required": boolean };
}

function Choice({ field, common }: ControlProps) {
  const allowed = field.kind === "flag" && field.allowed.length === 0 ? ["true", "false"] : field.allowed;
  const value = field.given ? (field.value ?? "") : "";
  const known = value === "" || allowed.includes(value);
  return (
    <select {...common} value={value} onChange={(event) => void setValue(field.path, event.currentTarget.value || null)}>
      <option value="">{field.default !== null ? `${field.default} (when left out)` : "left out"}</option>
      {!known && <option value={value}>{value}</option>}
      {allowed.map((one) => (
        <option key={one} value={one}>
          {one}
        </option>
      ))}
    </select>
  );
}

function Words({ field, common }: ControlProps) {
  const [draft, setDraft] = useState<string | null>(null);
  const here = useRef(false);
  const timer = useRef(0);
  const pending = useRef(0);
  const value = field.value ?? "";

  // what was typed stands until the form has come back from the text that it went into
  useEffect(() => {
    if (!here.current && pending.current === 0 && timer.current === 0) setDraft(null);
  }, [field]);

  function write(now: string): void {
    window.clearTimeout(timer.current);
    timer.current = 0;
    if (now.trim() === value) return;
    pending.current += 1;
    void setValue(field.path, now.trim() || null).finally(() => (pending.current -= 1));
  }

  return (
    <input
      {...common}
      type="text"
      value={draft ?? value}
      placeholder={field.default ?? ""}
      spellcheck={false}
      onFocus={() => (here.current = true)}
      onInput={(event) => {
        const now = event.currentTarget.value;
        setDraft(now);
        window.clearTimeout(timer.current);
        timer.current = window.setTimeout(() => write(now), WRITE_AFTER);
      }}
      onKeyDown={(event) => {
        if (event.key === "Enter") write(event.currentTarget.value);
      }}
      onBlur={(event) => {
        here.current = false;
        if (draft === null) return;
        write(event.currentTarget.value);
        if (draft.trim() === value) setDraft(null);
      }}
    />
  );
}
