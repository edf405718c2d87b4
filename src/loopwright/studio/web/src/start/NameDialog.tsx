// Asks for the name of a file, and says why a name cannot be taken.
import { useEffect, useRef, useState } from "preact/hooks";
import { Dialog } from "../parts/Dialog";
import { sentence } from "../state/document";

interface Props {
  readonly title: string;
  readonly action: string;
  readonly name: string;
  readonly carryOut: (name: string) => Promise<void>;
  readonly leave: () => void;
}

export function NameDialog({ title, action, name: first, carryOut, leave }: Props) {
  const [name, setName] = useState(first);
  const [fault, setFault] = useState("");
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => {
    field.current?.focus();
    field.current?.setSelectionRange(0, first.replace(/\.ya?ml$/, "").length);
  }, []);
  return (
    <Dialog name={title} leave={leave}>
      <form
        class="name-form"
        onSubmit={(event) => {
          event.preventDefault();
          carryOut(name.trim()).catch((refusal: unknown) => setFault(sentence(refusal)));
        }}
      >
        <label>
          Name of the file
          <input
            ref={field}
            type="text"
            value={name}
            spellcheck={false}
            aria-invalid={fault !== ""}
            onInput={(event) => {
              setName(event.currentTarget.value);
              setFault("");
            }}
          />
        </label>
        {fault && (
          <p class="note alarm" role="alert">
            {fault}
          </p>
        )}
        <div class="bar end">
          <button type="button" onClick={leave}>
            Leave it
          </button>
          <button type="submit" class="main" disabled={name.trim() === ""}>
            {action}
          </button>
        </div>
      </form>
    </Dialog>
  );
}
