// One cell being edited: an input in its place until it is accepted or given up.

import { el } from "../page/dom";
import { reason } from "../page/server";
import { say } from "../page/say";
import { refresh } from "../page/live";
import { dropDraft, keepDraft } from "../edit/draft";
import { write } from "../edit/write";

export type Next = "down" | "right" | "left" | "stay";

/** Opens the cell with the text typed so far, or its own; `leave` is told where to go afterwards. */
export function editCell(cell: HTMLTableCellElement, typed: string | null, leave: (next: Next) => void): void {
  const column = cell.dataset["column"] ?? "";
  const kind = cell.closest("tr")?.querySelector('[data-column="kind"]')?.textContent?.trim() ?? "";
  const before = cell.textContent?.trim() ?? "";
  const kept = [...cell.childNodes];
  const label = `${column} of ${refOf(cell)}`;
  const input = el("input", {
    value: typed ?? before, "aria-label": label, autocomplete: "off",
    "data-marking": column === "marking", "data-kind": column === "marking" && kind,
  });
  cell.replaceChildren(input);
  input.focus();
  if (typed === null) input.select();
  else input.setSelectionRange(typed.length, typed.length);
  if (typed !== null && column === "marking") input.dispatchEvent(new InputEvent("input", { bubbles: true }));

  let over = false;
  const end = (next: Next, accept: boolean): void => {
    if (over) return;
    over = true;
    const value = input.value.trim();
    cell.replaceChildren(...kept);
    if (accept && value !== before) void writeCell(cell, value);
    leave(next);
  };
  input.addEventListener("keydown", (event) => {
    event.stopPropagation();
    if (event.key === "Enter") end(event.shiftKey ? "stay" : "down", true);
    else if (event.key === "Escape") end("stay", false);
    else if (event.key === "Tab") end(event.shiftKey ? "left" : "right", true);
    else return;
    event.preventDefault();
  });
  input.addEventListener("paste", (event) => event.stopPropagation());
  input.addEventListener("blur", () => end("stay", true));
}

/** Writes one cell, shows it at once, and what the server made of it afterwards. */
export async function writeCell(cell: HTMLTableCellElement, value: string): Promise<boolean> {
  const row = cell.closest<HTMLTableRowElement>("tr[data-ref]");
  const [ref, column] = [row?.dataset["ref"] ?? "", cell.dataset["column"] ?? ""];
  const before = cell.textContent ?? "";
  const path = JSON.stringify([ref, column]);
  const base = cell.dataset["base"] ?? "absent";
  cell.textContent = value;
  cell.classList.add("writing");
  keepDraft("parts.csv", path, { value, base });
  try {
    const done = await write({ file: "parts.csv", path: [ref, column], value, base });
    if (!done) {
      cell.textContent = before;
      say(`${column} of ${ref} is not written: the other edit stands.`, "problem");
      return false;
    }
    accept(cell, typeof done.value === "string" ? done.value : "", done.version);
    dropDraft("parts.csv", path);
    if (column === "ref" && row) row.dataset["ref"] = cell.textContent;
    say(`${column} of ${ref}: saved`);
    refresh();
    return true;
  } catch (error) {
    cell.textContent = before;
    say(`${column} of ${ref} is not written. ${reason(error)}`, "problem");
    return false;
  } finally {
    cell.classList.remove("writing");
  }
}

export function accept(cell: HTMLTableCellElement, value: string, version: string): void {
  cell.textContent = value;
  cell.dataset["base"] = version;
}

export function refOf(cell: Element): string {
  return cell.closest<HTMLElement>("tr[data-ref]")?.dataset["ref"] ?? "";
}
