// A question before the page: a name, what it is about, and a way out.
import { useEffect, useRef } from "preact/hooks";
import type { ComponentChildren } from "preact";

interface Props {
  readonly name: string;
  readonly leave: () => void;
  readonly children: ComponentChildren;
}

export function Dialog({ name, leave, children }: Props) {
  const place = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = place.current;
    if (dialog && !dialog.open) dialog.showModal();
    return () => dialog?.close();
  }, []);
  return (
    <dialog
      ref={place}
      class="dialog"
      aria-label={name}
      onCancel={(event) => {
        event.preventDefault();
        leave();
      }}
    >
      <header>
        <h2>{name}</h2>
      </header>
      <div class="body">{children}</div>
    </dialog>
  );
}
