// Which process the block is for, where there are several.
import { useEffect } from "preact/hooks";
import { form } from "../project/form/form";
import { loaded, sound, text } from "../state/document";
import { setChoices } from "../state/edit";

export function ProcessChoice() {
  const [file, now, ready] = [loaded.value, text.value, sound.value];
  useEffect(() => {
    if (ready) form.ask(file, { text: now });
  }, [file, now, ready]);
  const fields = form.of.value === file ? (form.answer.value?.fields ?? []) : [];
  const field = fields.find((one) => one.path.length === 2 && one.path[0] === "choices" && one.path[1] === "process");
  if (!field || field.allowed.length < 3) return null;
  return (
    <p class="process-choice">
      <label>
        Block for{" "}
        <select
          value={field.value ?? field.default ?? "auto"}
          onChange={(event) => void setChoices({ process: event.currentTarget.value === "auto" ? null : event.currentTarget.value })}
        >
          {field.allowed.map((one) => (
            <option key={one} value={one}>
              {one === "auto" ? "auto: what makes the demand" : one}
            </option>
          ))}
        </select>
      </label>
    </p>
  );
}
