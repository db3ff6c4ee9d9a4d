// What stands about the board: the faces to choose from, the tools with their keys, what is measured, all marks in a list.

import { el, set } from "../page/dom";
import type { Board, Face } from "./board";
import { nameOf } from "./mark";
import { measured } from "./state";

export interface Furniture {
  root: HTMLElement; views: HTMLElement; said: HTMLElement;
  opacity(): number;
  update(board: Board, open: { beside: boolean; through: boolean }): void;
}

type Tool = [key: string, text: string, pressed: (board: Board, open: { beside: boolean; through: boolean }) => boolean | null, use: (board: Board) => void];
const TOOLS: Tool[] = [
  ["P", "pin", (board) => board.state.tool === "box", (board) => board.take("box")],
  ["L", "length", (board) => board.state.tool === "line", (board) => board.take("line")],
  ["O", "outline", (board) => board.state.tool === "outline", (board) => board.take("outline")],
  ["B", "other face through", (_, open) => open.through, (board) => board.through()],
  ["S", "side by side", (_, open) => open.beside, (board) => board.beside()],
  ["Z", "undo", () => null, (board) => board.undo()],
];
const HELP =
  "At the photo: arrows pan or move the cross, Shift with them by one pixel, + − 0 zoom, [ ] go through the marks, " +
  "Enter sets a point or names the chosen mark, V goes through its points, I adds one, Delete takes one out, Shift+Delete the mark, Shift+Z redoes.";

export function furniture(faces: Face[], board: Board): Furniture {
  const tabs = faces.map((face, index) => el("button", { type: "button", "aria-pressed": "false" }, faces.length > 1 && el("small", {}, `${index + 1} `), face.title.replace(/\.\w+$/, "")));
  tabs.forEach((tab) => (tab.hidden = faces.length < 2));
  tabs.forEach((tab, index) => tab.addEventListener("click", () => {
    const face = faces[index];
    if (face) void board.open(face);
  }));
  const readout = el("p", { class: "readout" });
  const said = el("p", { class: "measure", role: "status" });
  const views = el("div", { class: "views" });
  const slider = el("input", { type: "range", min: 0, max: 100, value: 50, "aria-label": "How much of the other face shows" });
  slider.addEventListener("input", () => board.setOpacity(Number(slider.value) / 100));
  const opacity = el("label", { class: "muted" }, "other face ", slider);
  opacity.hidden = true;
  const tools = TOOLS.map(([key, text, , use]) => {
    if (faces.length < 2 && (key === "B" || key === "S")) return null;
    const button = el("button", { type: "button" }, el("kbd", {}, key), ` ${text}`);
    button.addEventListener("click", () => use(board));
    return button;
  });
  const summary = el("summary", {}, "");
  const list = el("ul", {});
  const marks = el("details", { class: "marks" }, summary, list);
  marks.addEventListener("toggle", () => board.paint()); // the list is made only where it is seen
  const help = el("details", { class: "keys" }, el("summary", {}, "keys"), el("p", { class: "muted" }, HELP));
  const root = el("div", { class: faces.length > 1 ? "board" : "board single" },
    el("div", { class: "faces" }, el("div", { class: "choices", role: "group", "aria-label": "Faces" }, ...tabs), readout),
    views,
    el("div", { class: "tools", role: "group", "aria-label": "Tools" }, ...tools, opacity),
    said, marks, help);
  return {
    root, views, said,
    opacity: () => Number(slider.value) / 100,
    update: (now, open) => {
      tabs.forEach((tab, index) => set(tab, { "aria-pressed": String(faces[index]?.name === now.view.photo) }));
      TOOLS.forEach(([, , pressed], index) => {
        const state = pressed(now, open);
        const button = tools[index];
        if (button) set(button, { "aria-pressed": state === null ? null : String(state) });
      });
      opacity.hidden = !open.through;
      const scale = now.scale;
      const cursor = now.state.cursor;
      const at = cursor ? (scale ? ` · ${(cursor.x / scale.pxPerMm).toFixed(2)}, ${(cursor.y / scale.pxPerMm).toFixed(2)} mm` : ` · ${cursor.x.toFixed(0)}, ${cursor.y.toFixed(0)} px`) : "";
      readout.textContent = `${scale ? `${scale.pxPerMm.toFixed(1)} px/mm` : "no scale yet: a length with the note 'scale: 30 mm' gives it"}${at}`;
      fill(now, summary, list);
    },
  };
}

function fill(board: Board, summary: HTMLElement, list: HTMLElement): void {
  const marks = board.here();
  summary.textContent = marks.length === 1 ? "1 mark on this face" : `${marks.length} marks on this face`;
  if (!list.parentElement?.hasAttribute("open")) return;
  const had = list.contains(document.activeElement) ? [...list.querySelectorAll("button")].indexOf(document.activeElement as HTMLButtonElement) : -1;
  const buttons = marks.map((mark) => {
    const button = el("button", { type: "button", class: "quiet", "aria-pressed": String(mark.id === board.state.chosen) }, `${nameOf(mark)}, ${measured(mark.kind, mark.points, board.scale)}`);
    button.addEventListener("click", () => board.choose(mark.id, true));
    return button;
  });
  list.replaceChildren(...buttons.map((button) => el("li", {}, button)));
  buttons[had]?.focus();
}
