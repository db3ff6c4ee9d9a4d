// One edit to the server, whatever the file; a conflict is shown and settled by the person.

import type { Edited, Json, Path } from "../page/interface";
import { Conflicted, ask, ofUnit } from "../page/server";
import { who } from "../page/who";
import { settle } from "./conflict";
import { remember } from "./undo";

export interface Edit { file: string; path: Path; value: Json; base: string }

/** What stands there afterwards: as written, or the other's where that was kept; null where it stays undecided. */
export async function write(edit: Edit): Promise<Edited | null> {
  let base = edit.base;
  for (;;) {
    try {
      const done = await send({ ...edit, base });
      remember(done.entry);
      return done;
    } catch (error) {
      if (!(error instanceof Conflicted)) throw error;
      const chosen = await settle(error.conflict);
      if (chosen === null) return null;
      const { file, path, theirs, version } = error.conflict;
      if (chosen === "theirs") return { file, path, value: theirs, version, entry: null, state: 0 };
      base = version;
    }
  }
}

function send({ file, path, value, base }: Edit): Promise<Edited> {
  const name = who() ? { who: who() } : {};
  if (file === "unit.toml") return ask("PATCH", ofUnit("unit.toml"), { path, value, base, ...name });
  if (file === "logs/logs.toml") return ask("PATCH", ofUnit("logs.toml"), { path, value, base, ...name });
  if (file === "parts.csv") {
    const [ref, column] = path;
    return ask("PATCH", ofUnit("parts"), { ref: ref ?? null, column: column ?? null, value, base, ...name });
  }
  return ask("PUT", ofUnit("text", ...file.split("/").map(encodeURIComponent)), { value, base, ...name });
}
