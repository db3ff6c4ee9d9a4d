// Undo of one's own edits: the server puts back what was before, as a new entry that can itself be undone.

import { takesText } from "../page/dom";
import { refresh } from "../page/live";
import { Conflicted, ask, ofUnit, reason, unit } from "../page/server";
import type { Edited } from "../page/interface";
import { say } from "../page/say";
import { who } from "../page/who";

const done: number[] = [];
const undone: number[] = [];

/** Keeps the entry for undo. */
export function remember(entry: number | null): void {
  if (entry === null) return;
  done.push(entry);
  undone.length = 0;
}

/** Ctrl+Z and Ctrl+Y (Ctrl+Shift+Z) wherever nobody is typing. */
export function undoKeys(): void {
  if (!unit) return;
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || event.defaultPrevented || takesText(event.target)) return;
    const key = event.key.toLowerCase();
    if (key !== "z" && key !== "y") return;
    event.preventDefault();
    const redo = key === "y" || event.shiftKey;
    void (redo ? move(undone, done, "redone") : move(done, undone, "undone"));
  });
}

async function move(from: number[], to: number[], word: string): Promise<void> {
  const entry = from.pop();
  if (entry === undefined) return say(`Nothing to be ${word} since this page was opened; the history has the rest.`);
  try {
    const back = await ask<Edited>("POST", ofUnit("undo"), who() ? { entry, who: who() } : { entry });
    if (back.entry !== null) to.push(back.entry);
    say(`${back.file} · ${back.path.join(" · ")}: ${word}`);
    refresh();
  } catch (error) {
    say(error instanceof Conflicted ? "It was changed by someone else since: see the history." : reason(error), "problem");
  }
}
