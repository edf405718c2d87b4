// The floor in a window: three sheets one above the other, of which the middle one moves.
import { readColours } from "./colours";
import type { Colours } from "./colours";
import type { Layers } from "./layers";
import { drawn, frame, speed, status } from "./live";
import { drawNotes } from "./notes";
import type { Notes } from "./notes";
import { painterFor } from "./painter";
import type { Painter, Wish } from "./painter";
import { emptyScene, gather } from "./scene";
import type { Scene } from "./scene";
import { drawGrid, Sheet } from "./sheet";
import type { Site } from "./site";
import { drawTiles } from "./tiles";
import { View } from "./view";

/** Speed up to which carriers are shown between cells [s/s], and zoom from which it can be seen
 *  [px a cell]. */
const SMOOTH = 1.5;
const SMOOTH_FROM = 5;

export class Board {
  readonly view = new View();
  /** Pictures painted so far. */
  painted = 0;
  private readonly under: CanvasRenderingContext2D;
  private readonly over: CanvasRenderingContext2D;
  private painter: Painter;
  private sheet: Sheet | null = null;
  private scene: Scene | null = null;
  private site: Site | null = null;
  private colours: Colours = readColours();
  private layers: Layers | null = null;
  private notes: Notes = { chosen: null, pointed: [], findings: [], ghost: null, hovered: null };
  private stale = true;
  private tileSize = 0;
  private seen = -1;
  private turn = -1;
  private timer = 0;
  private readonly watcher: ResizeObserver;

  constructor(private readonly host: HTMLElement, wish: Wish) {
    const [under, live, over] = [0, 1, 2].map(() => {
      const canvas = document.createElement("canvas");
      canvas.setAttribute("aria-hidden", "true");
      host.append(canvas);
      return canvas;
    }) as [HTMLCanvasElement, HTMLCanvasElement, HTMLCanvasElement];
    this.under = under.getContext("2d", { alpha: false })!;
    this.over = over.getContext("2d")!;
    this.painter = painterFor(live, wish);
    host.dataset.painter = this.painter.kind;
    live.addEventListener("webglcontextlost", () => this.fallBack(live));
    this.watcher = new ResizeObserver(() => this.resize());
    this.watcher.observe(host);
    this.resize();
    this.timer = requestAnimationFrame(this.next);
  }

  /** The graphics were taken away: go on by the plain pen on a new canvas. */
  private fallBack(old: HTMLCanvasElement): void {
    if (!this.timer) return;
    const canvas = document.createElement("canvas");
    canvas.setAttribute("aria-hidden", "true");
    canvas.width = old.width;
    canvas.height = old.height;
    old.replaceWith(canvas);
    this.painter = painterFor(canvas, "canvas");
    this.host.dataset.painter = this.painter.kind;
    this.tileSize = 0;
    this.stale = true;
  }

  put(site: Site): void {
    const first = !this.site;
    this.site = site;
    this.sheet = new Sheet(site.floor);
    this.scene = emptyScene(site);
    this.tileSize = 0;
    this.view.hold(site.bounds);
    if (first) this.view.fit(site.bounds, 40);
    this.stale = true;
  }

  /** Other layers, notes or colours. */
  dress(layers: Layers, notes: Notes): void {
    this.layers = layers;
    this.notes = notes;
    this.stale = true;
  }

  recolour(): void {
    this.colours = readColours();
    this.tileSize = 0;
    this.stale = true;
  }

  free(): void {
    cancelAnimationFrame(this.timer);
    this.timer = 0;
    this.watcher.disconnect();
    this.painter.free();
    this.host.replaceChildren();
  }

  private resize(): void {
    const { clientWidth: width, clientHeight: height } = this.host;
    const dense = Math.min(2, window.devicePixelRatio || 1);
    const unseen = this.view.width <= 1;
    this.view.resize(width, height, dense);
    for (const canvas of this.host.querySelectorAll("canvas")) {
      canvas.width = Math.max(1, Math.round(width * dense));
      canvas.height = Math.max(1, Math.round(height * dense));
    }
    if (this.site) {
      this.view.hold(this.site.bounds);
      if (unseen) this.view.fit(this.site.bounds, 40);
    }
    this.stale = true;
  }

  private next = (): void => {
    this.timer = requestAnimationFrame(this.next);
    const { site, scene, layers } = this;
    if (!site || !scene || !layers) return;
    const moved = this.stale || this.turn !== this.view.turn;
    if (moved) this.drawSheets(site, layers);
    const news = frame !== null && frame.number !== this.seen;
    const smooth = this.smooth();
    if (!frame || !(moved || news || !Number.isNaN(smooth))) {
      if (moved) this.painter.paint({ ...scene, carrierCount: 0, stationCount: 0 }, this.view);
      return;
    }
    gather(scene, site, frame, this.view, smooth, layers);
    this.painter.paint(scene, this.view);
    this.seen = frame.number;
    this.painted += 1;
    drawn();
  };

  /** The time of the plant between frames, NaN where nothing is to move between them. */
  private smooth(): number {
    const pace = speed.value;
    if (!frame || !status.value?.playing || pace === "max" || pace > SMOOTH) return NaN;
    if (this.view.scale < SMOOTH_FROM) return NaN;
    return frame.time + ((performance.now() - frame.came) / 1000) * pace;
  }

  private drawSheets(site: Site, layers: Layers): void {
    const { under, over, view, colours, sheet } = this;
    under.setTransform(1, 0, 0, 1, 0, 0);
    under.fillStyle = colours("sheet");
    under.fillRect(0, 0, under.canvas.width, under.canvas.height);
    if (layers.grid) drawGrid(under, view, colours, [0, 0, site.floor.width, site.floor.height]);
    sheet?.draw(under, view, colours, layers, false);
    over.setTransform(1, 0, 0, 1, 0, 0);
    over.clearRect(0, 0, over.canvas.width, over.canvas.height);
    sheet?.draw(over, view, colours, layers, true);
    drawNotes(over, site, view, colours, this.notes);
    const size = Math.round(view.scale * view.dense);
    if (size !== this.tileSize) {
      this.tileSize = size;
      this.painter.dress(drawTiles(site.floor.materials, size, colours), colours);
    }
    this.stale = false;
    this.turn = view.turn;
  }
}
