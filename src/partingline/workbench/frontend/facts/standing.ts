// A verdict is a word with a shape; colour only repeats it.

import { draw, el } from "../page/dom";

type Shape = "disc" | "triangle" | "half" | "ring";
const LOOK: Record<string, [shape: Shape, css: string]> = {
  supported: ["disc", "meets"],
  contradicted: ["triangle", "short"],
  open: ["ring", "muted"],
  meets: ["disc", "meets"],
  "falls short": ["triangle", "short"],
  undecided: ["half", "undecided"],
  "not enough data": ["ring", "muted"],
};

export function standing(word: string): HTMLElement {
  const plain = word.replaceAll("_", " ");
  const [shape, css] = LOOK[plain] ?? ["ring", "muted"];
  return el("span", { class: `status ${css}` }, shapeOf(shape), ` ${plain}`);
}

export const verdict = standing;

function shapeOf(shape: Shape): SVGElement {
  const frame = draw("svg", { viewBox: "0 0 10 10", "aria-hidden": "true" });
  if (shape === "disc") frame.append(draw("circle", { cx: 5, cy: 5, r: 4.4 }));
  if (shape === "triangle") frame.append(draw("path", { d: "M.4 1h9.2L5 9.4z" }));
  if (shape === "ring" || shape === "half") frame.append(draw("circle", { cx: 5, cy: 5, r: 4, class: "hollow" }));
  if (shape === "half") frame.append(draw("path", { d: "M5 1a4 4 0 0 0 0 8z" }));
  return frame;
}
