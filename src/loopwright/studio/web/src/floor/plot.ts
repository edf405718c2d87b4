// Charts over time in the look of the sheet.
import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";
import { clock, rate } from "./clock";
import type { Colours } from "./colours";

export interface Curve {
  readonly name: string;
  readonly colour: string;
  readonly width: number;
  readonly dash?: number[];
  readonly fill?: string;
}

/** The shortest time that a chart shows [s]. */
export const LEAST = 60;

const FONT = '11px "DejaVu Sans", "Liberation Sans", Verdana, Arial, sans-serif';

/** Options of a chart `width` x `height` [px] of `curves`, values from 0 to about `top`. */
export function plotOptions(
  width: number, height: number, curves: readonly Curve[], top: number | null, colours: Colours,
): uPlot.Options { // prettier-ignore
  const axis = { stroke: colours("soft"), font: FONT, grid: { stroke: colours("grid"), width: 1 }, ticks: { show: false } };
  return {
    width,
    height,
    padding: [8, 22, 0, 0],
    legend: { show: false },
    cursor: { drag: { x: false, y: false }, points: { size: 5 } },
    scales: {
      x: { time: false, range: (_, low, high) => [low ?? 0, Math.max(high ?? 0, (low ?? 0) + LEAST)] },
      y: { range: (_, low, high) => [Math.min(0, low ?? 0), top ?? nice(high ?? 1)] },
    },
    axes: [
      { ...axis, size: 22, values: (_, splits) => splits.map((time) => clock(time)), space: 70 },
      { ...axis, size: 40, values: (_, splits) => splits.map((value) => tidy(value)), space: 26 },
    ],
    series: [
      { value: (_, time) => (time === null ? "" : clock(time)) },
      ...curves.map((curve) => ({
        label: curve.name,
        stroke: curve.colour,
        width: curve.width,
        ...(curve.dash ? { dash: curve.dash } : {}),
        ...(curve.fill ? { fill: curve.fill } : {}),
        points: { show: false },
        value: (_: uPlot, value: number | null) => (value === null ? "" : rate(value)),
      })),
    ],
  };
}

function nice(high: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(high, 1e-6)));
  return (([1, 1.5, 2, 3, 5, 8, 10].find((step) => step * power >= high * 1.05) ?? 10) * power);
}

function tidy(value: number): string {
  return String(Math.round(value * 1000) / 1000);
}
