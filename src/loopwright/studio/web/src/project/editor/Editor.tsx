// The text editor. The open document's text is the truth; editor and text follow each other.
import { redo, undo } from "@codemirror/commands";
import { setDiagnostics } from "@codemirror/lint";
import { openSearchPanel } from "@codemirror/search";
import { EditorState, Transaction } from "@codemirror/state";
import type { StateCommand, TransactionSpec } from "@codemirror/state";
import { EditorView } from "@codemirror/view";
import { effect } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { checked, findings, loaded, text } from "../../state/document";
import { wanted } from "../view";
import { plain, withEnds } from "./ends";
import { marksOf } from "./marks";
import { wantSchema } from "./schema";
import { extensions } from "./setup";

/** What stands in the editor, kept while another page is shown, so that undo goes on. */
let kept: { readonly file: string; readonly state: EditorState; readonly top: number } | null = null;
let view: EditorView | null = null;

export function Editor() {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const parent = place.current;
    if (!parent) return;
    wantSchema();
    const file = loaded.peek();
    const old = kept?.file === file ? kept : null;
    const state = old?.state ?? EditorState.create({ doc: plain(text.peek()), extensions });
    const made = new EditorView({ state, parent });
    view = made;
    if (old && !wanted.peek()) requestAnimationFrame(() => (made.scrollDOM.scrollTop = old.top));
    const stops = [effect(() => follow(made, text.value)), effect(() => mark(made)), effect(() => showWanted(made))];
    return () => {
      stops.forEach((stop) => stop());
      kept = { file, state: made.state, top: made.scrollDOM.scrollTop };
      made.destroy();
      if (view === made) view = null;
    };
  }, [loaded.value]);
  return <div ref={place} class="editor" />;
}

function showWanted(editor: EditorView): void {
  const place = wanted.value;
  if (!place || text.peek() === "") return;
  wanted.value = null;
  const found = editor.state.doc.line(Math.min(place.line, editor.state.doc.lines));
  const at = Math.min(found.from + place.column - 1, found.to);
  const near = place.take ? "center" : "nearest";
  editor.dispatch({ selection: { anchor: at }, effects: EditorView.scrollIntoView(at, { y: near, yMargin: 60 }) });
  if (place.take) editor.focus();
}

/** Undo the last change of the text, wherever it was made; the editor need not be shown. */
export function undoText(): void {
  command(undo);
}

export function redoText(): void {
  command(redo);
}

function command(step: StateCommand): void {
  if (view) {
    step(view);
    return;
  }
  if (kept?.file !== loaded.peek()) return;
  const { file, top } = kept;
  const change = difference(kept.state, text.peek());
  const state = change ? kept.state.update(change).state : kept.state;
  kept = { file, state, top };
  step({
    state,
    dispatch: (done) => {
      kept = { file, state: done.state, top };
      text.value = withEnds(done.state.doc.toString());
    },
  });
}

export function searchText(): void {
  if (view) openSearchPanel(view);
}

/** Bring the editor to `now`, changing only what differs, so that the cursor stays. */
function follow(editor: EditorView, now: string): void {
  const change = difference(editor.state, now);
  if (change) editor.dispatch(change);
}

function difference(state: EditorState, whole: string): TransactionSpec | null {
  const was = state.doc.toString();
  const now = plain(whole);
  if (was === now) return null;
  let head = 0;
  const most = Math.min(was.length, now.length);
  while (head < most && was[head] === now[head]) head += 1;
  let tail = 0;
  while (tail < most - head && was[was.length - 1 - tail] === now[now.length - 1 - tail]) tail += 1;
  return {
    changes: { from: head, to: was.length - tail, insert: now.slice(head, now.length - tail) },
    annotations: Transaction.userEvent.of("elsewhere"),
  };
}

function mark(editor: EditorView): void {
  const found = findings.value;
  if (plain(checked.value) !== editor.state.doc.toString()) return;
  editor.dispatch(setDiagnostics(editor.state, marksOf(found, editor.state.doc, loaded.peek())));
}
