// Two edits of one field: both are shown, and the person says which stands.

import { el } from "../page/dom";
import { show } from "../page/dialog";
import type { ConflictRecord, Json } from "../page/interface";

/** "yours" to insist, "theirs" to keep the other's, null to decide later. */
export async function settle(conflict: ConflictRecord): Promise<"yours" | "theirs" | null> {
  const by = `${conflict.who || "someone"}${conflict.when ? `, ${clock(conflict.when)}` : ""}`;
  const both = el("div", { class: "both" }, side("Yours", "not written yet", conflict.yours), side("Theirs", by, conflict.theirs));
  const place = el("p", { class: "muted" }, `${conflict.file} · ${conflict.path.join(" · ")}`);
  const answer = await show("Changed by someone else meanwhile", [place, both], [
    ["theirs", "Keep theirs"],
    ["yours", "Write yours over it"],
    ["", "Decide later"],
  ]);
  return answer as "yours" | "theirs" | null;
}

function side(title: string, by: string, value: Json): HTMLElement {
  const text = value === null ? "nothing: it was taken away" : typeof value === "string" ? value : JSON.stringify(value, null, 1);
  return el("section", {}, el("h3", {}, title, " ", el("small", {}, by)), el("pre", { tabindex: 0 }, text || "nothing"));
}

function clock(when: string): string {
  const time = new Date(when);
  return Number.isNaN(time.getTime()) ? when : time.toLocaleTimeString();
}
