// The window on the floor, by mouse, fingers and keys.
import { effect, signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { theme } from "../state/theme";
import { Board } from "./board";
import { layers } from "./layers";
import { order, pause, play, status } from "./live";
import { change, choose, chosenPlace, editing, findings, fit, pointed, site, wanted } from "./state";
import type { Wish } from "./painter";
import type { Place } from "./site";

/** What the pointer is over, and where [px]. */
export const hovered = signal<{ place: Place; x: number; y: number } | null>(null);
/** The board that is shown, for buttons beside it. */
export const board = signal<Board | null>(null);
/** Zoom, for the scale bar [px a cell]. */
export const scale = signal(1);

interface Ghost {
  readonly place: Place;
  readonly dx: number;
  readonly dy: number;
}
const ghost = signal<Ghost | null>(null);

const NEAR = 5;
const STEP = 60;

export function Canvas() {
  const host = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!host.current) return;
    const made = new Board(host.current.querySelector<HTMLElement>(".sheets")!, wish());
    board.value = made;
    const free = [dress(made), follow(made), hands(host.current, made)];
    const told = window.setInterval(() => {
      if (host.current) host.current.dataset.painted = String(made.painted);
    }, 500);
    return () => {
      window.clearInterval(told);
      free.forEach((one) => one());
      made.free();
      board.value = null;
      hovered.value = null;
    };
  }, []);
  return (
    <div
      ref={host}
      class="board"
      tabIndex={0}
      role="application"
      aria-label="Floor"
      aria-describedby="floor-keys"
    >
      <div class="sheets" />
      <p id="floor-keys" class="unseen">
        Arrow keys move the floor, plus and minus zoom, 0 shows all of it, space plays and pauses, full stop goes on by
        one tick, Escape drops the choice. The search field jumps to a device and shows its readings.
      </p>
    </div>
  );
}

/** `?painter=webgl2` or `canvas` in the address chooses how the floor is painted. */
function wish(): Wish {
  const told = new URLSearchParams(location.search).get("painter");
  return told === "webgl2" || told === "canvas" ? told : "any";
}

function dress(board: Board): () => void {
  const one = effect(() => {
    if (site.value) board.put(site.value);
  });
  const other = effect(() => {
    const moving = ghost.value;
    board.dress(layers.value, {
      chosen: chosenPlace.value,
      hovered: hovered.value?.place ?? null,
      pointed: pointed.value,
      findings: findings.value,
      ghost: moving && { box: moving.place.box, dx: moving.dx, dy: moving.dy },
    });
  });
  const third = effect(() => {
    void theme.value;
    board.recolour();
  });
  return () => [one, other, third].forEach((end) => end());
}

function follow(board: Board): () => void {
  const end = effect(() => {
    const to = wanted.value;
    if (!to) return;
    board.view.fit(to.box, to.most, site.peek()?.bounds);
    wanted.value = null;
  });
  const timer = window.setInterval(() => (scale.value = board.view.scale), 100);
  return () => {
    end();
    window.clearInterval(timer);
  };
}

/** Mouse, fingers and keys. */
function hands(host: HTMLElement, board: Board): () => void {
  const view = board.view;
  const fingers = new Map<number, { x: number; y: number }>();
  let from: { x: number; y: number } | null = null;
  let far = false;

  const spot = (event: PointerEvent | WheelEvent): [number, number] => {
    const box = host.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const under = (px: number, py: number): Place | null => {
    const [x, y] = view.cell(px, py);
    return site.value?.at(x, y)[0] ?? null;
  };
  const rowOf = (place: Place | null): Place | null => {
    const row = site.value?.floor.stations.find((one) => one.name === place?.name)?.row;
    return (row && site.value?.places.get(row)) || place;
  };

  const down = (event: PointerEvent) => {
    if (event.button !== 0) return;
    host.focus({ preventScroll: true });
    const [x, y] = spot(event);
    fingers.set(event.pointerId, { x, y });
    host.setPointerCapture(event.pointerId);
    from = { x, y };
    far = false;
    const place = editing.value && fingers.size === 1 ? rowOf(under(x, y)) : null;
    if (place && place.kind !== "belt") ghost.value = { place, dx: 0, dy: 0 };
  };
  const move = (event: PointerEvent) => {
    const [x, y] = spot(event);
    const last = fingers.get(event.pointerId);
    if (!last) {
      const place = under(x, y);
      hovered.value = place && { place, x, y };
      return;
    }
    if (from && Math.hypot(x - from.x, y - from.y) > NEAR) far = true;
    if (fingers.size === 2) {
      const other = [...fingers].find(([id]) => id !== event.pointerId)![1];
      const [before, after] = [Math.hypot(last.x - other.x, last.y - other.y), Math.hypot(x - other.x, y - other.y)];
      if (before > 0) view.zoom(after / before, (x + other.x) / 2, (y + other.y) / 2);
      view.move((x - last.x) / 2, (y - last.y) / 2);
    } else if (ghost.value && from) {
      const [dx, dy] = [Math.round((x - from.x) / view.scale), Math.round((y - from.y) / view.scale)];
      ghost.value = { ...ghost.value, dx, dy };
    } else if (far) {
      view.move(x - last.x, y - last.y);
    }
    fingers.set(event.pointerId, { x, y });
    if (far) hovered.value = null;
  };
  const up = (event: PointerEvent) => {
    if (!fingers.delete(event.pointerId)) return;
    const moved = ghost.value;
    ghost.value = null;
    if (moved && (moved.dx || moved.dy)) {
      const [x, y] = moved.place.box;
      void change({ moves: [{ name: moved.place.name, x: x + moved.dx, y: y + moved.dy }] });
    } else if (!far && event.type === "pointerup") {
      const [x, y] = spot(event);
      choose(under(x, y)?.name ?? null);
    }
    if (!fingers.size) from = null;
  };
  const wheel = (event: WheelEvent) => {
    event.preventDefault();
    const [x, y] = spot(event);
    const lines = event.deltaMode === 1 ? 30 : 1;
    view.zoom(Math.exp(-event.deltaY * lines * (event.ctrlKey ? 0.01 : 0.0018)), x, y);
    hovered.value = null;
  };
  const out = () => (hovered.value = null);
  const pressed = (event: KeyboardEvent) => {
    if (event.target !== host || event.ctrlKey || event.metaKey || event.altKey) return;
    const act = KEYS[event.key];
    if (!act) return;
    event.preventDefault();
    act(board);
  };
  const acts: [string, (event: never) => void][] = [
    ["pointerdown", down], ["pointermove", move], ["pointerup", up], ["pointercancel", up],
    ["pointerleave", out], ["keydown", pressed],
  ]; // prettier-ignore
  acts.forEach(([name, act]) => host.addEventListener(name, act as EventListener));
  host.addEventListener("wheel", wheel, { passive: false });
  return () => {
    acts.forEach(([name, act]) => host.removeEventListener(name, act as EventListener));
    host.removeEventListener("wheel", wheel);
  };
}

const KEYS: Readonly<Record<string, (board: Board) => void>> = {
  ArrowLeft: (board) => board.view.move(STEP, 0),
  ArrowRight: (board) => board.view.move(-STEP, 0),
  ArrowUp: (board) => board.view.move(0, STEP),
  ArrowDown: (board) => board.view.move(0, -STEP),
  "+": (board) => board.view.zoom(1.25),
  "=": (board) => board.view.zoom(1.25),
  "-": (board) => board.view.zoom(0.8),
  "0": () => fit(),
  f: () => fit(),
  " ": () => (status.value?.playing ? pause() : play()),
  ".": () => order({ type: "step", ticks: 1 }),
  Escape: () => choose(null),
};

