// A short animation of a run: from when, how long, in which format, with a caption.
import { signal } from "@preact/signals";
import type { Signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { ask } from "../api/http";
import type { Job, Studio } from "../messages";
import { Part } from "../parts/Part";
import { jobFile } from "../state/jobs";
import { jobsOf } from "../state/work";
import { Make, Ready } from "./Papers";
import { chosenScenario, ScenarioChoice } from "./ScenarioChoice";

const FILM = { kind: "film", name: "Animation", about: "" } as const;

const SPEEDS = ["1", "2", "4", "10", "30"] as const;

const start = signal("10 min");
const span = signal("1 min");
const speed = signal("4");
const format = signal("");
const sheet = signal("light");
const caption = signal("");
const formats = signal<readonly string[]>([]);

export function FilmPart() {
  useEffect(() => {
    if (formats.value.length > 0) return;
    ask<Studio>("GET", "/api/studio").then(
      (studio) => (formats.value = studio.film),
      () => undefined, // the choice of format stays empty, and the server takes its own
    );
  }, []);
  const chosen = formats.value.includes(format.value) ? format.value : (formats.value[0] ?? "");
  const options: Record<string, unknown> = {
    ...chosenScenario(),
    start: start.value,
    span: span.value,
    speed: Number(speed.value),
    theme: sheet.value,
    caption: caption.value,
    ...(chosen && { format: chosen }),
  };
  const done = jobsOf("film").find((job) => job.state === "done");
  return (
    <Part name="Animation" note="what moves on the floor, as a picture that moves">
      <div class="film">
        <div class="fields">
          <ScenarioChoice />
          <Field name="from" text={start} />
          <Field name="for" text={span} />
          <label>
            <span>speed</span>
            <select value={speed.value} onChange={(event) => (speed.value = event.currentTarget.value)}>
              {SPEEDS.map((one) => (
                <option key={one} value={one}>
                  {one} × as fast as the plant
                </option>
              ))}
            </select>
          </label>
          <label>
            <span>format</span>
            <select value={chosen} onChange={(event) => (format.value = event.currentTarget.value)}>
              {formats.value.map((one) => (
                <option key={one} value={one}>
                  {one}
                </option>
              ))}
            </select>
          </label>
          <label>
            <span>sheet</span>
            <select value={sheet.value} onChange={(event) => (sheet.value = event.currentTarget.value)}>
              <option value="light">light</option>
              <option value="dark">dark</option>
            </select>
          </label>
          <Field name="caption" text={caption} />
          <div class="bar">
            <Make paper={FILM} options={options} />
          </div>
          <div class="bar">
            <Ready kind="film" />
          </div>
        </div>
        {done ? <Preview key={done.id} job={done} /> : <p class="empty">What is made stands here, as it will be sent.</p>}
      </div>
    </Part>
  );
}

function Field({ name, text }: { name: string; text: Signal<string> }) {
  return (
    <label>
      <span>{name}</span>
      <input type="text" value={text.value} onInput={(event) => (text.value = event.currentTarget.value)} />
    </label>
  );
}

const CALM = window.matchMedia("(prefers-reduced-motion: reduce)");

/** The film as it will be sent; for those who want no motion it stands until it is asked to move. */
function Preview({ job }: { job: Job }) {
  const [moving, setMoving] = useState(!CALM.matches);
  const [film] = job.files;
  if (!film) return null;
  const address = `${jobFile(job.id, film.name)}?show=1`;
  const about = String(job.options.caption ?? "") || "Animation of the floor";
  if (film.name.endsWith(".mp4")) {
    return (
      <figure>
        <video src={address} controls muted loop autoplay={moving} aria-label={about} />
      </figure>
    );
  }
  return (
    <figure>
      {moving ? <img src={address} alt={about} /> : <Still address={address} about={about} />}
      <button onClick={() => setMoving(!moving)}>{moving ? "Let it stand" : "Let it move"}</button>
    </figure>
  );
}

/** The first frame of a film. */
function Still({ address, about }: { address: string; about: string }) {
  const place = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const film = new Image();
    film.onload = () => {
      const canvas = place.current;
      if (!canvas) return;
      canvas.width = film.naturalWidth;
      canvas.height = film.naturalHeight;
      canvas.getContext("2d")?.drawImage(film, 0, 0);
    };
    film.src = address;
    return () => {
      film.onload = null;
    };
  }, [address]);
  return <canvas ref={place} role="img" aria-label={about} />;
}
