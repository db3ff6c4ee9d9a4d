// Draws marks, what is being drawn, handles and ways above a face. Everything is set anew: a few hundred shapes.

import { draw } from "../page/dom";
import { middle, type Point } from "./geometry";
import { nameOf, type Mark } from "./mark";
import type { Scale } from "./scale";
import { drawn, labelPoint, measured, type State, type Way } from "./state";
import type { View } from "./view";

const CHARACTER = 7.4;

export function paint(view: View, marks: Mark[], region: Point[], state: State, scale: Scale | null, ways: Way[]): void {
  if (!view.ready) return;
  const shapes: SVGElement[] = [];
  if (region.length > 0) shapes.push(draw("polygon", { class: "region", points: list(view, region) }));
  for (const mark of marks) shapes.push(...shapeOf(view, mark, mark.id === state.chosen));
  const chosen = marks.find((mark) => mark.id === state.chosen);
  for (const way of ways) shapes.push(...wayOf(view, way));
  if (chosen && !state.tool) shapes.push(...handles(view, chosen, state.vertex));
  if (state.tool) shapes.push(...draftOf(view, state, scale));
  view.layer.replaceChildren(...shapes);
}

function shapeOf(view: View, mark: Mark, chosen: boolean): SVGElement[] {
  const points = list(view, mark.points);
  const css = `mark ${mark.kind}${chosen ? " chosen" : ""}`;
  const tag = mark.kind === "line" ? "polyline" : "polygon";
  const group = draw("g", { class: css, "data-id": mark.id }, draw(tag, { points, class: "under" }), draw(tag, { points, class: "over" }));
  const name = nameOf(mark);
  if (name) group.append(label(view.toScreen(labelPoint(mark)), name, "name", mark.kind === "box"));
  return [group];
}

/** The way with its length: below the lowest point along the surface, above the highest through air. */
function wayOf(view: View, way: Way): SVGElement[] {
  const screen = way.points.map((point) => view.toScreen(point));
  const at = middle(screen);
  const y = way.kind === "clearance" ? Math.min(...screen.map((point) => point.y)) - 20 : Math.max(...screen.map((point) => point.y)) + 22;
  return [
    draw("polyline", { class: `way under ${way.kind}`, points: list(view, way.points) }),
    draw("polyline", { class: `way ${way.kind}`, points: list(view, way.points) }),
    label({ x: inside(view, at.x, way.text), y: way.kind === "plane" ? at.y : y }, way.text, `way ${way.kind}`),
  ];
}

function handles(view: View, mark: Mark, vertex: number | null): SVGElement[] {
  const corners = mark.points.map((point, index) => handle(view.toScreen(point), "vertex", index, index === vertex ? 8 : 6));
  if (mark.kind === "box") return corners;
  const ends = mark.kind === "outline" ? mark.points.length : mark.points.length - 1;
  const inserts = mark.points.slice(0, ends).map((point, index) => {
    const next = mark.points[(index + 1) % mark.points.length] ?? point;
    return handle(view.toScreen(middle([point, next])), "insert", index + 1, 4);
  });
  return [...inserts, ...corners];
}

function handle(at: Point, kind: "vertex" | "insert", index: number, r: number): SVGElement {
  return draw("circle", { class: `handle ${kind}`, cx: at.x, cy: at.y, r, [`data-${kind}`]: index });
}

function draftOf(view: View, state: State, scale: Scale | null): SVGElement[] {
  const points = drawn(state);
  const tag = state.tool === "box" && points.length === 4 ? "polygon" : "polyline";
  const shapes: SVGElement[] = [draw(tag, { class: "draft", points: list(view, points) })];
  if (state.cursor) {
    const { x, y } = view.toScreen(state.cursor);
    shapes.push(draw("path", { class: "cross", d: `M${x - 14} ${y}h28M${x} ${y - 14}v28` }));
    const text = state.tool && measured(state.tool, points, scale);
    if (text) shapes.push(label({ x: x + 12, y: y + 24 }, text, "length", true));
  }
  return shapes;
}

function label(at: Point, text: string, css: string, fromLeft = false): SVGElement {
  const width = text.length * CHARACTER + 12;
  const left = fromLeft ? at.x : at.x - width / 2;
  const frame = draw("rect", { x: left, y: at.y - 11, width, height: 22, rx: 11 });
  return draw("g", { class: `label ${css}` }, frame, draw("text", { x: left + width / 2, y: at.y + 4.5, "text-anchor": "middle" }, text));
}

/** The middle of a label that stays within the view, where it is wide enough. */
function inside(view: View, x: number, text: string): number {
  const half = (text.length * CHARACTER + 12) / 2;
  return Math.max(half + 2, Math.min(x, view.root.clientWidth - half - 2));
}

function list(view: View, points: Point[]): string {
  return points.map((point) => view.toScreen(point)).map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");
}
