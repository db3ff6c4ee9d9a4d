// A chart's frame: size, keyboard, zoom buttons, and the values under the cursor in words.

import { el } from "../page/dom";

export interface Range { from: number; to: number }
export interface Frame { root: HTMLElement; plots: HTMLElement; said: HTMLElement; width(): number }

/** The frame asks for ranges of time: by buttons, and by + − 0 and arrows on the chart itself. */
export function frame(name: string, now: () => Range, whole: () => Range, go: (range: Range) => void): Frame {
  const plots = el("div", { class: "plots", tabindex: 0, role: "group", "aria-label": `${name}: chart, arrows move, + and − zoom, 0 shows all` });
  const said = el("p", { class: "measure", role: "status" });
  const zoom = (factor: number, shift = 0): void => go(clip(zoomed(now(), factor, shift), whole()));
  const keys: Record<string, () => void> = {
    "+": () => zoom(0.5), "=": () => zoom(0.5), "-": () => zoom(2), "0": () => go(whole()),
    ArrowLeft: () => zoom(1, -0.25), ArrowRight: () => zoom(1, 0.25),
  };
  plots.addEventListener("keydown", (event) => {
    const act = keys[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act();
  });
  const button = (text: string, act: () => void): HTMLElement => {
    const made = el("button", { type: "button" }, text);
    made.addEventListener("click", act);
    return made;
  };
  const tools = el("div", { class: "tools", role: "group", "aria-label": `Zoom of ${name}` },
    button("closer", () => zoom(0.5)), button("wider", () => zoom(2)), button("earlier", () => zoom(1, -0.5)), button("later", () => zoom(1, 0.5)), button("all", () => go(whole())));
  const root = el("div", { class: "chart" }, plots, tools, said);
  return { root, plots, said, width: () => Math.max(240, plots.clientWidth) };
}

export function seconds(t: number, step: number): string {
  const places = Math.max(0, Math.min(6, Math.ceil(-Math.log10(Math.max(step, 1e-9)))));
  if (Math.abs(t) < 120) return `${t.toFixed(places)} s`;
  const sign = t < 0 ? "−" : "";
  const [h, m, s] = [Math.floor(Math.abs(t) / 3600), Math.floor((Math.abs(t) % 3600) / 60), Math.abs(t) % 60];
  const tail = `${String(m).padStart(h ? 2 : 1, "0")}:${s < 10 ? "0" : ""}${s.toFixed(places)}`;
  return sign + (h ? `${h}:${tail}` : tail);
}

function zoomed({ from, to }: Range, factor: number, shift: number): Range {
  const [middle, half] = [(from + to) / 2 + shift * (to - from), ((to - from) / 2) * factor];
  return { from: middle - half, to: middle + half };
}

function clip({ from, to }: Range, whole: Range): Range {
  const length = Math.min(to - from, whole.to - whole.from);
  const start = Math.max(whole.from, Math.min(from, whole.to - length));
  return { from: start, to: start + length };
}
