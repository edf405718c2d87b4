// A drawing that the server made: SVG, taken in as elements so that it follows the sheet's colours.
import { useEffect, useRef } from "preact/hooks";

interface Props {
  readonly svg: string;
  readonly name: string;
  readonly class?: string;
}

export function Drawing({ svg, name, class: kind }: Props) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const root = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
    if (root.nodeName === "svg") place.current?.replaceChildren(document.importNode(root, true));
    else place.current?.replaceChildren("This drawing could not be read.");
  }, [svg]);
  return <div ref={place} class={kind ?? "drawing"} role="img" aria-label={name} />;
}
