// A part of a page: a name on a line, and what it holds.
import type { ComponentChildren } from "preact";

interface Props {
  readonly name: string;
  readonly note?: ComponentChildren;
  readonly tools?: ComponentChildren;
  readonly children: ComponentChildren;
}

export function Part({ name, note, tools, children }: Props) {
  return (
    <section class="part" aria-label={name}>
      <header>
        <h2>{name}</h2>
        {note !== undefined && <span class="soft">{note}</span>}
        {tools !== undefined && <span class="far bar">{tools}</span>}
      </header>
      <div class="body">{children}</div>
    </section>
  );
}
