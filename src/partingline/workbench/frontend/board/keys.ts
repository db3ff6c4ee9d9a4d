// The board by keyboard alone: tools, a cross that arrows move, marks and their points.

import type { Board } from "./board";
import { moved, withVertex } from "./pointer";
import type { Mark } from "./mark";

const STEP_PX = 12;
const ARROWS: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** Does what the key asks; false for keys that are not the board's. */
export function boardKey(board: Board, event: KeyboardEvent): boolean {
  const arrow = ARROWS[event.key];
  if (event.altKey) return false;
  if (event.ctrlKey || event.metaKey) return control(board, event);
  if (arrow) return move(board, arrow, event.shiftKey);
  switch (event.key) {
    case "Enter": case " ": return accept(board);
    case "Escape": return board.stop();
    case "Delete": return remove(board, event.shiftKey);
    case "Backspace": return board.unplace();
    case "+": case "=": return done(board.view.zoom(1.5, board.state.cursor ?? undefined));
    case "-": return done(board.view.zoom(1 / 1.5, board.state.cursor ?? undefined));
    case "0": return done(board.view.fit());
    case "]": return step(board, 1);
    case "[": return step(board, -1);
    default: return letter(board, event);
  }
}

function letter(board: Board, event: KeyboardEvent): boolean {
  const key = event.key.toLowerCase();
  if (key === "z" && event.shiftKey) return done(board.redo());
  switch (key) {
    case "p": return done(board.take("box"));
    case "l": return done(board.take("line"));
    case "o": return done(board.take("outline"));
    case "b": return done(board.through());
    case "s": return done(board.beside());
    case "z": return done(board.undo());
    case "v": return vertex(board, event.shiftKey ? -1 : 1);
    case "i": return insert(board);
    default: return false;
  }
}

function control(board: Board, event: KeyboardEvent): boolean {
  const key = event.key.toLowerCase();
  if (key === "z") return done(event.shiftKey ? board.redo() : board.undo());
  return key === "y" && done(board.redo());
}

function move(board: Board, [dx, dy]: [number, number], fine: boolean): boolean {
  const { state, view, chosen } = board;
  const px = (fine ? 1 : STEP_PX) * view.pixel;
  if (state.tool) {
    const at = state.cursor ?? view.centre();
    state.cursor = { x: at.x + dx * px, y: at.y + dy * px };
    board.keepInSight(state.cursor);
    board.paint();
    return true;
  }
  if (!chosen) return done(view.pan(dx * 60, dy * 60));
  const at = state.vertex === null ? undefined : chosen.points[state.vertex];
  const after = at && state.vertex !== null ? withVertex(chosen, state.vertex, { x: at.x + dx * px, y: at.y + dy * px }) : moved(chosen, dx * px, dy * px);
  board.nudge(chosen, after);
  return true;
}

function accept(board: Board): boolean {
  const { state, chosen } = board;
  if (!state.tool) return chosen ? done(void board.rename()) : false;
  const at = state.cursor ?? board.view.centre();
  const last = state.draft.at(-1);
  const again = last !== undefined && Math.hypot(last.x - at.x, last.y - at.y) < board.view.pixel;
  return done(again ? board.finish() : board.place(at));
}

function remove(board: Board, whole: boolean): boolean {
  const { state, chosen } = board;
  if (!chosen) return false;
  const least = chosen.kind === "outline" ? 3 : 2;
  if (whole || state.vertex === null || chosen.kind === "box" || chosen.points.length <= least) board.discard(chosen);
  else {
    const points = chosen.points.filter((_, index) => index !== state.vertex);
    state.vertex = null;
    board.commit(chosen, { ...chosen, points });
  }
  return true;
}

function step(board: Board, by: number): boolean {
  const marks = board.here();
  const next = marks[(marks.findIndex((mark) => mark.id === board.state.chosen) + by + marks.length) % marks.length];
  if (next) board.choose(next.id, true);
  return true;
}

function vertex(board: Board, by: number): boolean {
  const { state, chosen } = board;
  if (!chosen) return false;
  const count = chosen.points.length;
  state.vertex = ((state.vertex ?? (by > 0 ? -1 : 0)) + by + count) % count;
  board.paint();
  board.tell(`point ${state.vertex + 1} of ${count}`);
  return true;
}

function insert(board: Board): boolean {
  const { state, chosen } = board;
  if (!chosen || state.vertex === null || chosen.kind === "box") return false;
  const points = [...chosen.points];
  const [a, b] = [points[state.vertex], points[(state.vertex + 1) % points.length]];
  if (!a || !b) return false;
  points.splice(state.vertex + 1, 0, { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 });
  state.vertex += 1;
  board.commit(chosen, { ...chosen, points } satisfies Mark);
  return true;
}

function done(_: unknown): true {
  return true;
}
