// The drawing of what flows from where to where.
import { useState } from "preact/hooks";
import { Drawing } from "../parts/Drawing";
import { Part } from "../parts/Part";

export function FlowPart({ svg }: { readonly svg: string }) {
  const [fit, setFit] = useState(true);
  if (!svg) return null;
  const button = (
    <button aria-pressed={!fit} onClick={() => setFit(!fit)}>
      At full size
    </button>
  );
  return (
    <Part name="Flow" tools={button}>
      <div class={fit ? "flow" : "flow full-size"} role="region" aria-label="Flow drawing" tabIndex={0}>
        <Drawing svg={svg} name="Flow of materials through the processes" />
      </div>
    </Part>
  );
}
