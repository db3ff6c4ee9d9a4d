// What is going on at the board: the tool, what is being drawn, and what is chosen.

import type { Point } from "./geometry";
import { distance, edges, area, middle } from "./geometry";
import { boxOf, type Kind, type Mark } from "./mark";
import { lengthOf, shortestWay } from "./around";
import { shownArea, shownLength, type Scale } from "./scale";

export interface State {
  tool: Kind | null;
  draft: Point[];
  cursor: Point | null;
  chosen: string | null;
  vertex: number | null;
}

export interface Way { kind: "creepage" | "clearance" | "plane"; points: Point[]; text: string }

/** What is drawn so far, with the cursor as its last point. */
export function drawn(state: State): Point[] {
  const points = state.cursor ? [...state.draft, state.cursor] : state.draft;
  const [a, b] = points;
  return state.tool === "box" && a && b ? boxOf(a, b) : points;
}

/** Lengths of what is drawn or chosen, in millimetres where a scale is known. */
export function measured(kind: Kind, points: Point[], scale: Scale | null): string {
  const [a, b, c] = points;
  if (!a || !b) return "";
  if (kind === "box") return c ? `${shownLength(distance(a, b), scale)} × ${shownLength(distance(b, c), scale)}` : "";
  if (kind === "line") return shownLength(lengthOf(points), scale);
  const last = points.at(-1) ?? b;
  const edge = shownLength(distance(points.at(-2) ?? a, last), scale);
  if (points.length < 3) return edge;
  const round = edges(points).reduce((sum, [p, q]) => sum + distance(p, q), 0);
  return `last edge ${edge}, round ${shownLength(round, scale)}, area ${shownArea(area(points), scale)}`;
}

/** The way in the plane of the picture from the chosen outline to the nearest other one of its subject, around slots. */
export function wayFrom(mark: Mark, marks: Mark[], scale: Scale | null): Way | null {
  const outlines = marks.filter((one) => one.photo === mark.photo && one.kind === "outline" && one.points.length > 2);
  if (mark.kind !== "outline" || !isEnd(mark)) return null;
  const slots = outlines.filter(isSlot).map((slot) => slot.points);
  let best: Point[] | null = null;
  for (const one of outlines) {
    if (one.id === mark.id || one.subject !== mark.subject || !isEnd(one)) continue;
    const way = shortestWay(mark.points, one.points, slots);
    if (way && (!best || lengthOf(way) < lengthOf(best))) best = way;
  }
  return best && { kind: "plane", points: best, text: `${shownLength(lengthOf(best), scale)} in the picture's plane${slots.length > 0 ? ", around slots" : ""}` };
}

/** Where the label of a mark stands: at the corner of a pin, so that the marking of the part can be read. */
export function labelPoint(mark: Mark): Point {
  return (mark.kind === "box" ? mark.points[0] : undefined) ?? middle(mark.points);
}

/** An outline that a way can begin at: neither a hole nor the board itself. */
function isEnd(mark: Mark): boolean {
  return !isSlot(mark) && !/\b(board|groove|rib)\b/i.test(mark.text);
}

function isSlot(mark: Mark): boolean {
  return /\bslot\b/i.test(mark.text);
}
