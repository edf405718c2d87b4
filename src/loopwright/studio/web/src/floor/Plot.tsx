// A chart that follows its place, its colours and its data.
import { useEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import { theme } from "../state/theme";
import { readColours } from "./colours";
import type { Colours } from "./colours";
import { plotOptions } from "./plot";
import type { Curve } from "./plot";

interface Props {
  readonly label: string;
  readonly height: number;
  readonly top: number | null;
  readonly data: uPlot.AlignedData;
  readonly curves: (colours: Colours) => readonly Curve[];
  /** Changes where `curves` give other ones. */
  readonly kind: string;
}

export function Plot({ label, height, top, data, curves, kind }: Props) {
  const place = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot | null>(null);
  const shade = theme.value;
  const held = useRef(data);
  held.current = data;
  useEffect(() => {
    const host = place.current;
    if (!host) return;
    const colours = readColours();
    const made = new uPlot(plotOptions(host.clientWidth, height, curves(colours), top, colours), held.current, host);
    chart.current = made;
    const watcher = new ResizeObserver(() => made.setSize({ width: host.clientWidth, height }));
    watcher.observe(host);
    return () => {
      watcher.disconnect();
      made.destroy();
      chart.current = null;
    };
  }, [shade, height, kind, top]);
  useEffect(() => chart.current?.setData(data), [data]);
  return <div ref={place} class="plot" role="img" aria-label={label} />;
}
