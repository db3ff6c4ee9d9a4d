// A table as a grid for the keyboard: one cell takes the focus, arrows move it.

import { set } from "../page/dom";

/** The editable cells of a table in rows, read anew each time: rows come and go. */
export class Grid {
  constructor(readonly table: HTMLTableElement) {
    set(table, { role: "grid" });
    this.renew();
  }

  get rows(): HTMLTableRowElement[] {
    return [...this.table.querySelectorAll<HTMLTableRowElement>("tr[data-ref]")];
  }

  /** After rows came or went: exactly one cell can be reached by Tab. */
  renew(): void {
    for (const row of this.table.rows) {
      set(row, { role: "row" });
      for (const cell of row.cells) {
        if (cell.tagName === "TH") set(cell, { role: cell.scope === "row" ? "rowheader" : "columnheader" });
        else set(cell, { role: "gridcell" });
      }
    }
    const cells = this.rows.flatMap((row) => this.cells(row));
    const reached = cells.filter((cell) => cell.tabIndex === 0 && cell.hasAttribute("tabindex"));
    for (const cell of cells) set(cell, { tabindex: -1 });
    for (const link of cells.flatMap((cell) => [...cell.querySelectorAll("a")])) set(link, { tabindex: -1 });
    const first = reached[0] ?? cells[0];
    if (first) set(first, { tabindex: 0 });
  }

  cells(row: HTMLTableRowElement): HTMLTableCellElement[] {
    return [...row.querySelectorAll<HTMLTableCellElement>("[data-column]")];
  }

  focus(cell: HTMLTableCellElement | undefined): void {
    if (!cell) return;
    for (const other of this.table.querySelectorAll('[data-column][tabindex="0"]')) set(other, { tabindex: -1 });
    set(cell, { tabindex: 0 });
    cell.focus();
  }

  /** The cell so many rows and columns away, at the edge the last one. */
  from(cell: HTMLTableCellElement, down: number, right: number): HTMLTableCellElement | undefined {
    const rows = this.rows;
    const row = cell.closest<HTMLTableRowElement>("tr[data-ref]");
    if (!row) return undefined;
    const y = clamp(rows.indexOf(row) + down, rows.length);
    const target = rows[y];
    const x = this.cells(row).indexOf(cell);
    return target && this.cells(target)[clamp(x + right, this.cells(target).length)];
  }

  /** Where the key leads, or undefined for keys that do not move. */
  reached(event: KeyboardEvent, cell: HTMLTableCellElement): HTMLTableCellElement | undefined {
    const far = event.ctrlKey || event.metaKey ? Infinity : 0;
    switch (event.key) {
      case "ArrowDown": return this.from(cell, far || 1, 0);
      case "ArrowUp": return this.from(cell, -(far || 1), 0);
      case "ArrowRight": return this.from(cell, 0, far || 1);
      case "ArrowLeft": return this.from(cell, 0, -(far || 1));
      case "Home": return this.from(cell, far ? -Infinity : 0, -Infinity);
      case "End": return this.from(cell, far || 0, Infinity);
      case "PageDown": return this.from(cell, 10, 0);
      case "PageUp": return this.from(cell, -10, 0);
      default: return undefined;
    }
  }
}

function clamp(index: number, length: number): number {
  return Math.max(0, Math.min(length - 1, index));
}
