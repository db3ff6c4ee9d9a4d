// The mouse, pen or finger at the board: drawing, choosing, and moving points.

import { distance, type Point } from "./geometry";
import type { Board } from "./board";
import { boxOf, type Mark } from "./mark";
import type { View } from "./view";

const CLICK_PX = 5;
const CLOSE_PX = 10;

export function pointer(board: Board, view: View): void {
  view.layer.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    board.use(view);
    view.root.focus({ preventScroll: true });
    event.preventDefault();
    if (board.state.tool) drawAt(board, view, event);
    else grab(board, view, event);
  });
  view.layer.addEventListener("pointermove", (event) => {
    if (!board.state.tool || board.view !== view) return;
    board.state.cursor = view.at(event);
    board.paint();
  });
  view.layer.addEventListener("dblclick", () => {
    if (board.state.tool === "outline") board.finish();
    else if (board.chosen) void board.rename();
  });
}

function drawAt(board: Board, view: View, event: PointerEvent): void {
  const { state } = board;
  const start = view.at(event);
  const first = state.draft[0];
  if (state.tool === "outline") {
    if (first && state.draft.length > 2 && near(view, first, start)) return board.finish();
    if (event.detail < 2) board.place(start);
    return;
  }
  const begun = state.draft.length === 0;
  if (begun) board.place(start);
  follow(view, (at) => {
    state.cursor = at;
    board.paint();
  }, (at) => {
    const far = distance(view.toScreen(start), view.toScreen(at)) > CLICK_PX;
    if (!begun || far) board.place(at);
    else if (state.tool === "box") board.finish();
  });
}

function grab(board: Board, view: View, event: PointerEvent): void {
  const target = event.target as Element;
  const handle = target.closest<SVGElement>("[data-vertex], [data-insert]");
  const id = target.closest<SVGElement>("[data-id]")?.dataset["id"] ?? null;
  if (!handle) board.choose(id);
  const mark = board.chosen;
  if (!mark) return;
  const start = view.at(event);
  if (!handle) return drag(board, view, mark, (at) => moved(mark, at.x - start.x, at.y - start.y));
  const inserted = handle.dataset["insert"];
  const index = Number(inserted ?? handle.dataset["vertex"]);
  const base = inserted === undefined ? mark : { ...mark, points: [...mark.points.slice(0, index), start, ...mark.points.slice(index)] };
  board.state.vertex = index;
  drag(board, view, mark, (at) => withVertex(base, index, at));
}

function drag(board: Board, view: View, before: Mark, change: (at: Point) => Mark): void {
  let after: Mark | null = null;
  follow(view, (at) => board.preview((after = change(at))), () => {
    if (after) board.commit(before, after);
  });
}

/** The mark with one point elsewhere; a box keeps its right angles. */
export function withVertex(mark: Mark, index: number, at: Point): Mark {
  const opposite = mark.points[(index + 2) % 4];
  if (mark.kind === "box" && opposite) return { ...mark, points: boxOf(at, opposite) };
  return { ...mark, points: mark.points.map((point, i) => (i === index ? at : point)) };
}

export function moved(mark: Mark, dx: number, dy: number): Mark {
  return { ...mark, points: mark.points.map(({ x, y }) => ({ x: x + dx, y: y + dy })) };
}

function follow(view: View, move: (at: Point) => void, end: (at: Point) => void): void {
  const stop = new AbortController();
  const { signal } = stop;
  window.addEventListener("pointermove", (event) => move(view.at(event)), { signal });
  window.addEventListener("pointercancel", () => stop.abort(), { signal });
  window.addEventListener("pointerup", (event) => {
    stop.abort();
    end(view.at(event));
  }, { signal });
}

function near(view: View, a: Point, b: Point): boolean {
  return distance(view.toScreen(a), view.toScreen(b)) < CLOSE_PX;
}
