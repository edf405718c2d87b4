// Light or dark: as the reader's system has it, until chosen here.
import { effect, signal } from "@preact/signals";

export type Theme = "light" | "dark";
const KEY = "loopwright.theme";

const system = window.matchMedia("(prefers-color-scheme: dark)");
const stored = localStorage.getItem(KEY);

export const theme = signal<Theme>(
  stored === "light" || stored === "dark" ? stored : system.matches ? "dark" : "light",
);

system.addEventListener("change", () => {
  if (!localStorage.getItem(KEY)) theme.value = system.matches ? "dark" : "light";
});

effect(() => {
  document.documentElement.dataset.theme = theme.value;
});

export function turnTheme(): void {
  theme.value = theme.value === "dark" ? "light" : "dark";
  localStorage.setItem(KEY, theme.value);
}
