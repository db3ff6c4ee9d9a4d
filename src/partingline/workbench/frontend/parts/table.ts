// The parts table: keyboard editing, paste, and what others change.

import { choose, chosen, current } from "../page/chosen";
import { askText, show } from "../page/dialog";
import { all, el, find } from "../page/dom";
import { on } from "../page/events";
import { refresh } from "../page/live";
import { ask, Conflicted, ofUnit, reason } from "../page/server";
import { say } from "../page/say";
import { accept, editCell, refOf, writeCell, type Next } from "./cell";
import { Grid } from "./grid";
import { add, pasteTable } from "./paste";

/** Takes over the parts table of the page, if there is one. */
export function partsTable(): void {
  const table = find<HTMLTableElement>("table[data-parts]");
  if (!table) return;
  const grid = new Grid(table);
  table.addEventListener("keydown", (event) => key(grid, event));
  table.addEventListener("dblclick", (event) => open(grid, cellOf(event.target), null));
  table.addEventListener("focusin", (event) => {
    const cell = cellOf(event.target);
    if (cell) choose(`part:${refOf(cell)}`);
  });
  table.addEventListener("paste", (event) => {
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!text) return;
    event.preventDefault();
    void paste(grid, text, cellOf(event.target));
  });
  on("change", (change) => take(grid, change.path, change.value, change.version, change.file));
  document.addEventListener("partingline:fresh", (event) => takeRows(grid, (event as CustomEvent<Document>).detail));
  chosen((subject) => highlight(grid, subject));
  addButton(grid);
}

function key(grid: Grid, event: KeyboardEvent): void {
  const cell = cellOf(event.target);
  if (!cell || event.target !== cell || event.defaultPrevented) return;
  const next = grid.reached(event, cell);
  if (next) grid.focus(next);
  else if (event.key === "Enter" || event.key === "F2") open(grid, cell, null);
  else if (event.key === "Delete" && event.shiftKey) void removeRow(grid, cell);
  else if (event.key === "Delete" || event.key === "Backspace") void writeCell(cell, "");
  else if (event.key.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey) open(grid, cell, event.key);
  else return;
  event.preventDefault();
}

function open(grid: Grid, cell: HTMLTableCellElement | null, typed: string | null): void {
  if (!cell || cell.querySelector("input")) return;
  const steps: Record<Next, [number, number]> = { down: [1, 0], right: [0, 1], left: [0, -1], stay: [0, 0] };
  editCell(cell, typed, (next) => grid.focus(grid.from(cell, ...steps[next])));
}

async function paste(grid: Grid, text: string, at: HTMLTableCellElement | null): Promise<void> {
  const single = !/[\t\n;]/.test(text.trim());
  if (single && at) return void (await writeCell(at, text.trim()));
  if (await pasteTable(text, grid, at, columnsOf(grid.table))) refresh();
}

async function removeRow(grid: Grid, cell: HTMLTableCellElement): Promise<void> {
  const row = cell.closest<HTMLTableRowElement>("tr[data-ref]");
  const ref = refOf(cell);
  const question = el("p", {}, `${ref} is taken out of parts.csv. The history can put it back.`);
  if (!row || (await show(`Take ${ref} out?`, [question], [["yes", "Take it out"], ["", "Keep it"]])) !== "yes") return;
  const next = grid.from(cell, 1, 0) ?? grid.from(cell, -1, 0);
  try {
    await ask("DELETE", ofUnit("parts"), { ref, base: row.dataset["version"] ?? "" });
    row.remove();
    grid.renew();
    grid.focus(next?.isConnected ? next : grid.cells(grid.rows[0] ?? row)[0]);
    refresh();
  } catch (error) {
    say(error instanceof Conflicted ? `${ref} was changed by someone else: look at it again first.` : reason(error), "problem");
  }
}

/** A cell that someone else wrote, unless it is being edited here: then its base stays and both will be shown. */
function take(grid: Grid, path: unknown, value: unknown, version: string | undefined, file: string): void {
  if (file !== "parts.csv" || !Array.isArray(path)) return;
  const row = grid.rows.find((one) => one.dataset["ref"] === path[0]);
  const cell = row && grid.cells(row).find((one) => one.dataset["column"] === path[1]);
  if (!cell || cell.querySelector("input") || typeof value !== "string" || !version) return;
  accept(cell, value, version);
}

/** Rows as the fresh page has them; the cell that has the focus or is being edited stays as it is. */
function takeRows(grid: Grid, fresh: Document): void {
  const table = find<HTMLTableElement>("table[data-parts]", fresh);
  const body = grid.table.tBodies[0];
  if (!table || !body || grid.table.querySelector("input, .writing")) return;
  const active = document.activeElement;
  const at = active && grid.table.contains(active) ? cellOf(active) : null;
  const [ref, column] = [at && refOf(at), at?.dataset["column"]];
  const rows = all<HTMLTableRowElement>("tbody tr", table);
  body.replaceChildren(...rows.map((row) => document.adoptNode(row)));
  grid.renew();
  highlight(grid, current());
  const row = grid.rows.find((one) => one.dataset["ref"] === ref);
  if (at) grid.focus(row && grid.cells(row).find((one) => one.dataset["column"] === column));
}

function highlight(grid: Grid, subject: string): void {
  for (const row of grid.rows) row.classList.toggle("chosen", isOf(row, subject));
}

function addButton(grid: Grid): void {
  const one = el("button", { type: "button" }, "Add a part");
  const many = el("p", { class: "muted" }, "Arrows move, typing or Enter edits, Delete empties, Shift+Delete takes the part out; a table from a spreadsheet can be pasted.");
  one.addEventListener("click", async () => {
    const ref = (await askText({ title: "Add a part", label: "Ref", accept: "Add", hint: "As on the board: C3, Q1, T1" }))?.trim();
    if (ref && (await add([{ ref }]))) refresh();
  });
  (grid.table.closest(".scroll") ?? grid.table).after(el("div", { class: "tools" }, one, many));
}

function columnsOf(table: HTMLTableElement): string[] {
  const told = table.dataset["parts"]?.split(/[ ,]+/).filter(Boolean) ?? [];
  const first = table.querySelector("tr[data-ref]");
  const seen = first ? all("[data-column]", first).map((cell) => cell.dataset["column"] ?? "") : [];
  return seen.length > 0 ? seen : told.length > 1 ? told : COLUMNS;
}

const COLUMNS = "ref stage board side kind role marking maker part_number value ratings quantity package note".split(" ");

function isOf(row: HTMLTableRowElement, subject: string): boolean {
  return (row.dataset["ref"] ?? "").split(",").some((ref) => `part:${ref.trim()}` === subject);
}

function cellOf(target: EventTarget | null): HTMLTableCellElement | null {
  return target instanceof Element ? target.closest<HTMLTableCellElement>("[data-column]") : null;
}
