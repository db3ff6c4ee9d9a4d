// An outline or length that is being drawn survives a reload.

import { unit } from "../page/server";
import type { Point } from "./geometry";
import type { Kind } from "./mark";

export interface Unfinished { photo: string; tool: Kind; draft: Point[] }

const KEY = `partingline board ${unit}`;

export function keepUnfinished(now: Unfinished | null): void {
  try {
    if (now) sessionStorage.setItem(KEY, JSON.stringify(now));
    else sessionStorage.removeItem(KEY);
  } catch {
    // storage is switched off or full: the drawing lives as long as the page
  }
}

export function unfinished(): Unfinished | null {
  try {
    return JSON.parse(sessionStorage.getItem(KEY) ?? "null") as Unfinished | null;
  } catch {
    return null;
  }
}
