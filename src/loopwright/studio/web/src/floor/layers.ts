// Which layers of the floor are shown.
import { signal } from "@preact/signals";

export interface Layers {
  readonly belts: boolean;
  readonly carriers: boolean;
  readonly stations: boolean;
  readonly pickers: boolean;
  readonly power: boolean;
  readonly names: boolean;
  readonly grid: boolean;
}

export const LAYERS: readonly (keyof Layers)[] = [
  "belts", "carriers", "stations", "pickers", "power", "names", "grid",
]; // prettier-ignore

export const layers = signal<Layers>({
  belts: true, carriers: true, stations: true, pickers: true, power: false, names: true, grid: true,
}); // prettier-ignore

export function turn(layer: keyof Layers): void {
  layers.value = { ...layers.value, [layer]: !layers.value[layer] };
}
