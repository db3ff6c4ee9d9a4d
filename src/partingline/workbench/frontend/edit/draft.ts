// What was typed and not yet written survives a reload, with the version that its editor saw.

import { unit } from "../page/server";

export interface Draft { value: string; base: string }

export function keepDraft(file: string, path: string, draft: Draft): void {
  attempt((store) => store.setItem(key(file, path), JSON.stringify(draft)));
}

export function dropDraft(file: string, path: string): void {
  attempt((store) => store.removeItem(key(file, path)));
}

export function draftOf(file: string, path: string): Draft | null {
  return attempt((store) => JSON.parse(store.getItem(key(file, path)) ?? "null") as Draft | null) ?? null;
}

function key(file: string, path: string): string {
  return `partingline ${unit} ${file} ${path}`;
}

function attempt<T>(use: (store: Storage) => T): T | undefined {
  try {
    return use(sessionStorage);
  } catch {
    return undefined; // storage is switched off or full: drafts then live as long as the page
  }
}
