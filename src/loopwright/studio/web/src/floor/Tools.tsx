// Beside the floor: search, layers, zoom, scale and what the signs mean.
import { useState } from "preact/hooks";
import { board, hovered, scale } from "./Canvas";
import { LAYERS, layers, turn } from "./layers";
import { status } from "./live";
import { choose, fit, show, site } from "./state";

const MOST = 12;

export function Search() {
  const [typed, type] = useState("");
  const [at, move] = useState(0);
  const found = matches(typed);
  const take = (name: string | undefined) => {
    if (!name) return;
    choose(name);
    show(name);
    type("");
    move(0);
  };
  return (
    <div class="search">
      <input
        type="search"
        placeholder="Find a device or row"
        aria-label="Find a device or row"
        role="combobox"
        list={undefined}
        aria-expanded={found.length > 0}
        aria-controls="found"
        aria-activedescendant={found.length ? `found-${at}` : undefined}
        aria-autocomplete="list"
        value={typed}
        onInput={(event) => {
          type(event.currentTarget.value);
          move(0);
        }}
        onBlur={() => type("")}
        onKeyDown={(event) => {
          if (event.key === "Enter") take(found[at]);
          else if (event.key === "Escape") type("");
          else if (event.key === "ArrowDown") move(Math.min(found.length - 1, at + 1));
          else if (event.key === "ArrowUp") move(Math.max(0, at - 1));
          else return;
          event.preventDefault();
        }}
      />
      {found.length > 0 && (
        <ul id="found" role="listbox" aria-label="Devices and rows">
          {found.map((name, number) => (
            <li
              key={name}
              id={`found-${number}`}
              role="option"
              aria-selected={number === at}
              onPointerDown={(event) => {
                event.preventDefault();
                take(name);
              }}
            >
              {name} <span class="soft">{site.value?.places.get(name)?.kind}</span>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** Names that hold all words typed; those that begin so first, short ones before long ones. */
function matches(typed: string): string[] {
  const words = typed.trim().toLowerCase().split(/\s+/).filter(Boolean);
  if (!words.length || !site.value) return [];
  const whole = words.join(" ");
  const rank = (name: string) => (name.toLowerCase().startsWith(whole) ? 0 : 1000) + name.length;
  return [...site.value.places.keys()]
    .filter((name) => words.every((word) => name.toLowerCase().includes(word)))
    .sort((a, b) => rank(a) - rank(b) || a.localeCompare(b, undefined, { numeric: true }))
    .slice(0, MOST);
}

export function LayerSwitches() {
  return (
    <fieldset class="layers">
      <legend class="unseen">Layers</legend>
      {LAYERS.map((layer) => (
        <label key={layer}>
          <input type="checkbox" checked={layers.value[layer]} onChange={() => turn(layer)} />
          {layer}
        </label>
      ))}
    </fieldset>
  );
}

export function Zoom() {
  return (
    <div class="zoom" role="group" aria-label="Zoom">
      <button aria-label="Zoom in" onClick={() => board.value?.view.zoom(1.4)}>
        +
      </button>
      <button aria-label="Zoom out" onClick={() => board.value?.view.zoom(1 / 1.4)}>
        −
      </button>
      <button onClick={fit}>Fit</button>
      <select
        aria-label="Go to a row"
        value=""
        onChange={(event) => {
          show(event.currentTarget.value);
          event.currentTarget.value = "";
        }}
      >
        <option value="">row …</option>
        {(site.value?.floor.rows ?? []).map((row) => (
          <option key={row.name}>{row.name}</option>
        ))}
      </select>
    </div>
  );
}

const LENGTHS = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000];

export function ScaleBar() {
  const floor = site.value?.floor;
  if (!floor) return null;
  const cells = LENGTHS.findLast((length) => length * scale.value <= 130) ?? 1;
  const width = cells * scale.value;
  const metres = Math.round(cells * floor.cell * 100) / 100;
  return (
    <div class="scale" aria-hidden="true">
      <svg width={width + 2} height="9">
        <path d={`M1 1v7M1 4.5h${width}M${width + 1} 1v7`} stroke="var(--ink)" fill="none" />
        <rect x="1" y="3" width={width / 2} height="3" fill="var(--ink)" />
      </svg>
      <span>
        {cells} {cells === 1 ? "cell" : "cells"} = {metres} m
      </span>
    </div>
  );
}

/** What the rims of stations mean. */
export function Legend() {
  const down = (status.value?.down ?? 0) > 0;
  return (
    <ul class="legend" aria-label="Stations">
      <li>
        <i class="state busy" aria-hidden="true" /> works
      </li>
      <li>
        <i class="state starved" aria-hidden="true" /> starved
      </li>
      <li>
        <i class="state blocked" aria-hidden="true" /> blocked
      </li>
      {down && (
        <li>
          <i class="state down" aria-hidden="true" /> down
        </li>
      )}
    </ul>
  );
}

export function Tooltip() {
  const over = hovered.value;
  const width = board.value?.view.width ?? 0;
  if (!over) return null;
  const right = over.x > width - 260;
  return (
    <div class="tooltip" style={{ left: right ? undefined : `${over.x + 14}px`, right: right ? `${width - over.x + 14}px` : undefined, top: `${over.y + 14}px` }} aria-hidden="true">
      <b>{over.place.name}</b>
      <span class="soft">{over.place.detail}</span>
    </div>
  );
}
