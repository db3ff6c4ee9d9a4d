// A pasted table: shown before it is written; new parts are added, cells of known ones changed.

import { el } from "../page/dom";
import { show } from "../page/dialog";
import { remember } from "../edit/undo";
import { ask, ofUnit, reason } from "../page/server";
import { say } from "../page/say";
import { who } from "../page/who";
import { byHead, readTable } from "./clipboard";
import type { Grid } from "./grid";
import { writeCell } from "./cell";

interface Plan { added: Record<string, string>[]; changed: [cell: HTMLTableCellElement, value: string][]; nowhere: number }

/** Asks and writes; true when rows were added, so that the table must be fetched anew. */
export async function pasteTable(text: string, grid: Grid, at: HTMLTableCellElement | null, columns: string[]): Promise<boolean> {
  const plan = makePlan(readTable(text), grid, at, columns);
  const { added, changed, nowhere } = plan;
  if (added.length + changed.length === 0) {
    say("Nothing to write: no part has a ref, or all is as it was.", "problem");
    return false;
  }
  if (!(await agreed(plan, columns))) return false;
  let failed = 0;
  for (const [cell, value] of changed) if (!(await writeCell(cell, value))) failed += 1;
  if (failed === 0) say(`${added.length} parts added, ${changed.length} cells changed${nowhere ? `, ${nowhere} rows without a ref left out` : ""}.`);
  return added.length > 0 && (await add(added));
}

/** Adds parts; false and a word where the server refuses. */
export async function add(rows: Record<string, string>[]): Promise<boolean> {
  try {
    const done = await ask<{ rows: { entry: number | null }[] }>("POST", ofUnit("parts"), who() ? { rows, who: who() } : { rows });
    for (const row of done.rows) remember(row.entry);
    return true;
  } catch (error) {
    say(reason(error), "problem");
    return false;
  }
}

function makePlan(rows: string[][], grid: Grid, at: HTMLTableCellElement | null, columns: string[]): Plan {
  const plan: Plan = { added: [], changed: [], nowhere: 0 };
  const named = byHead(rows, columns);
  if (named) for (const row of named) placeByRef(row, grid, plan);
  else if (at) placeAt(rows, grid, at, columns, plan);
  else for (const row of rows) placeByRef(Object.fromEntries(columns.map((name, i) => [name, row[i] ?? ""])), grid, plan);
  return plan;
}

function placeByRef(row: Record<string, string>, grid: Grid, plan: Plan): void {
  const known = grid.rows.find((one) => one.dataset["ref"] === row["ref"]);
  if (!row["ref"]) plan.nowhere += 1;
  else if (!known) plan.added.push(Object.fromEntries(Object.entries(row).filter(([, value]) => value !== "")));
  else {
    for (const cell of grid.cells(known)) change(cell, row[cell.dataset["column"] ?? ""], plan);
  }
}

/** From the chosen cell to the right and down; what lies beyond the last row is new. */
function placeAt(rows: string[][], grid: Grid, at: HTMLTableCellElement, columns: string[], plan: Plan): void {
  const top = grid.rows.findIndex((row) => row.contains(at));
  const left = columns.indexOf(at.dataset["column"] ?? "");
  rows.forEach((values, down) => {
    const names = columns.slice(left, left + values.length);
    const row = grid.rows[top + down];
    if (!row) return placeByRef(Object.fromEntries(names.map((name, i) => [name, values[i] ?? ""])), grid, plan);
    names.forEach((name, i) => {
      const cell = grid.cells(row).find((one) => one.dataset["column"] === name);
      if (cell) change(cell, values[i], plan);
    });
  });
}

function change(cell: HTMLTableCellElement, value: string | undefined, plan: Plan): void {
  if (value !== undefined && value !== (cell.textContent ?? "").trim()) plan.changed.push([cell, value]);
}

async function agreed({ added, changed, nowhere }: Plan, columns: string[]): Promise<boolean> {
  const used = columns.filter((name) => added.some((row) => row[name]));
  const head = el("tr", {}, ...used.map((name) => el("th", { scope: "col" }, name.replaceAll("_", " "))));
  const body = added.map((row) => el("tr", {}, ...used.map((name) => el("td", {}, row[name] ?? ""))));
  const changes = changed.map(([cell, value]) => {
    const place = `${cell.closest("tr")?.dataset["ref"] ?? ""} · ${cell.dataset["column"] ?? ""}`;
    return el("li", {}, el("b", {}, place), " ", el("s", {}, (cell.textContent ?? "").trim() || "nothing"), " → ", value || "nothing");
  });
  const content: Node[] = [];
  if (added.length > 0) content.push(el("div", { class: "scroll", tabindex: 0, role: "group", "aria-label": "New parts" }, el("table", {}, el("caption", {}, `${added.length} new`), el("thead", {}, head), el("tbody", {}, ...body))));
  if (changes.length > 0) content.push(el("h3", {}, `${changes.length} changed`), el("ul", { class: "changes" }, ...changes));
  if (nowhere > 0) content.push(el("p", { class: "muted" }, `${nowhere} rows have no ref and are left out.`));
  return (await show("Write what was pasted?", content, [["yes", "Write"], ["", "Call it off"]])) === "yes";
}
