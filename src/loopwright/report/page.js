"use strict";
(() => {
  // Light or dark: the reader's setting until the button is pressed.
  const root = document.documentElement;
  const theme = document.getElementById("theme");
  const dark = () =>
    root.dataset.theme
      ? root.dataset.theme === "dark"
      : matchMedia("(prefers-color-scheme: dark)").matches;
  theme.addEventListener("click", () => {
    root.dataset.theme = dark() ? "light" : "dark";
    theme.setAttribute("aria-pressed", String(dark()));
  });

  // The drawing: a window on the sheet, [x, y, width, height] in sheet units.
  for (const frame of document.querySelectorAll(".drawing")) {
    const view = frame.querySelector(".view");
    const svg = view.querySelector("svg");
    const whole = svg.getAttribute("viewBox").split(" ").map(Number);
    let box = [...whole];
    const show = () => {
      svg.setAttribute("viewBox", box.map((v) => Math.round(v * 100) / 100).join(" "));
      view.classList.toggle("closer", box[2] < whole[2]);
    };
    const scale = () => {
      const size = svg.getBoundingClientRect();
      return Math.max(box[2] / size.width, box[3] / size.height);
    };
    const at = (event) => {
      const size = svg.getBoundingClientRect();
      const unit = scale();
      return [
        box[0] + box[2] / 2 + (event.clientX - size.left - size.width / 2) * unit,
        box[1] + box[3] / 2 + (event.clientY - size.top - size.height / 2) * unit,
      ];
    };
    const zoom = (factor, point) => {
      const [x, y] = point || [box[0] + box[2] / 2, box[1] + box[3] / 2];
      const width = Math.min(whole[2], Math.max(60, box[2] / factor));
      const real = box[2] / width;
      box = [x - (x - box[0]) / real, y - (y - box[1]) / real, width, box[3] / real];
      move(0, 0);
    };
    const move = (dx, dy) => {
      for (const [axis, by] of [[0, dx], [1, dy]]) {
        const last = whole[axis] + whole[axis + 2] - box[axis + 2];
        box[axis] = Math.min(Math.max(box[axis] + by, whole[axis]), last);
      }
      show();
    };
    const reset = () => {
      box = [...whole];
      show();
    };
    const acts = { in: () => zoom(1.5), out: () => zoom(1 / 1.5), whole: reset };
    for (const button of frame.querySelectorAll("[data-zoom]")) {
      button.addEventListener("click", () => acts[button.dataset.zoom]());
    }
    const steps = {
      "+": acts.in,
      "=": acts.in,
      "-": acts.out,
      0: reset,
      ArrowLeft: () => move(-box[2] / 8, 0),
      ArrowRight: () => move(box[2] / 8, 0),
      ArrowUp: () => move(0, -box[3] / 8),
      ArrowDown: () => move(0, box[3] / 8),
    };
    view.addEventListener("keydown", (event) => {
      const step = steps[event.key];
      if (!step || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      step();
    });
    // The wheel belongs to the page until the drawing has been clicked.
    view.addEventListener(
      "wheel",
      (event) => {
        if (!view.contains(document.activeElement) && !event.ctrlKey) return;
        event.preventDefault();
        zoom(Math.exp(-Math.max(-200, Math.min(200, event.deltaY)) / 400), at(event));
      },
      { passive: false },
    );
    let held = null;
    view.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      held = [event.clientX, event.clientY];
      view.setPointerCapture(event.pointerId);
      view.focus({ preventScroll: true });
    });
    view.addEventListener("pointermove", (event) => {
      if (!held) return;
      const unit = scale();
      move((held[0] - event.clientX) * unit, (held[1] - event.clientY) * unit);
      held = [event.clientX, event.clientY];
    });
    for (const end of ["pointerup", "pointercancel"]) {
      view.addEventListener(end, () => {
        held = null;
      });
    }
    addEventListener("beforeprint", reset);
  }
  // On paper: light, whole, and with nothing folded away.
  let before;
  addEventListener("beforeprint", () => {
    before = root.dataset.theme;
    root.dataset.theme = "light";
    for (const part of document.querySelectorAll("details")) part.open = true;
  });
  addEventListener("afterprint", () => {
    if (before) root.dataset.theme = before;
    else delete root.dataset.theme;
  });
})();
