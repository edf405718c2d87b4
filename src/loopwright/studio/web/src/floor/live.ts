// The live run: a socket to the engine, what it told last, and orders to it.
import { batch, signal } from "@preact/signals";
import { Socket } from "../api/socket";
import type { Device, History, Opened, RunAnswer, RunOrder, Status } from "../messages";
import { readFrame } from "./frame";
import type { Frame } from "./frame";
import type { Site } from "./site";

export const opened = signal<Opened | null>(null);
export const status = signal<Status | null>(null);
export const history = signal<History | null>(null);
export const device = signal<Device | null>(null);
export const runTrouble = signal("");
/** Where the run is on its way to being open. */
export const waking = signal(false);

export type Speed = number | "max";
export const speed = signal<Speed>(1);

/** The newest frame; not a signal, for it comes too often. */
export let frame: Frame | null = null;
export let frames = 0;
let shown = 0;

let socket: Socket | null = null;
let site: Site | null = null;
let open: Extract<RunOrder, { type: "open" }> | null = null;
let asked: string | null = null;
/** Number of the run that was asked for last. */
let turn = 0;

/** Begin a run on the floor of `on`. */
export function begin(on: Site, what: Extract<RunOrder, { type: "open" }>): void {
  site = on;
  wake();
  open = { ...what, turn };
  if (socket) socket.send(open);
  else {
    socket = new Socket("/api/run", {
      open: () => {
        wake();
        if (open) open = { ...open, turn };
        if (open) socket?.send(open);
      },
      away: () => forget(),
      message: (told) => take(told as RunAnswer),
      bytes: takeFrame,
    });
  }
}

/** Another run is on its way: from now on nothing belongs to the run before. */
export function wake(): void {
  turn += 1;
  batch(() => {
    forget();
    waking.value = true;
  });
}

export function end(): void {
  socket?.close();
  socket = null;
  open = null;
  forget();
}

export function order(what: RunOrder): void {
  runTrouble.value = "";
  socket?.send(what);
}

export function play(): void {
  order({ type: "play", speed: speed.value });
}

export function pause(): void {
  order({ type: "pause" });
}

export function seek(time: number): void {
  order({ type: "seek", time });
}

/** Be told about `name` from now on; null, about nothing. */
export function follow(name: string | null): void {
  if (name === asked) return;
  asked = name;
  device.value = null;
  order({ type: "ask", device: name });
}

/** The frame is on the screen. */
export function drawn(): void {
  if (frame && frame.number !== shown) {
    shown = frame.number;
    socket?.send({ type: "ack", frame: frame.number });
  }
}

function forget(): void {
  frame = null;
  shown = 0;
  batch(() => {
    opened.value = null;
    status.value = null;
    history.value = null;
    device.value = null;
    runTrouble.value = "";
    waking.value = false;
  });
}

function takeFrame(data: ArrayBuffer): void {
  const told = site && opened.value && readFrame(data, site.floor, site.cells.count);
  if (!told) return;
  frame = told;
  frames += 1;
}

function take(told: RunAnswer): void {
  // while a run is on its way, all but its opening and troubles is of the run before
  if (told.type === "opened" ? told.turn !== turn : told.type !== "error" && !opened.value) return;
  switch (told.type) {
    case "opened":
      batch(() => {
        opened.value = told;
        waking.value = false;
      });
      if (asked) order({ type: "ask", device: asked });
      if (open?.play) {
        speed.value = 30;
        play();
      }
      return;
    case "status":
      status.value = told;
      return;
    case "history":
      history.value = told;
      return;
    case "device":
      if (told.name === asked) device.value = told;
      return;
    case "ended":
      runTrouble.value = told.why;
      return;
    case "error":
      batch(() => {
        runTrouble.value = [told.error, ...told.findings.slice(0, 2).map((one) => one.message)].join(" ");
        waking.value = false;
      });
  }
}
