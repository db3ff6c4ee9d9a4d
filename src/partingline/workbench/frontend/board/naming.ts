// What a new or chosen mark is of.

import { el } from "../page/dom";
import { show } from "../page/dialog";
import type { Mark } from "./mark";

/** The mark with its subject and note; null when it was called off. */
export async function nameMark(mark: Mark, subjects: string[], measure: string): Promise<Mark | null> {
  const subject = el("input", { id: "mark-subject", list: "mark-subjects", autofocus: true, autocomplete: "off", value: mark.subject.replace(/^part:/, "") });
  const text = el("input", { id: "mark-text", autocomplete: "off", value: mark.text });
  const hint = mark.kind === "line"
    ? "A line of known length gives the scale: subject 'unit', note 'scale: 30 mm'."
    : mark.kind === "outline"
      ? "An outline with the note 'slot' is gone around by the ways between other outlines."
      : "Pins with the note 'landmark: 1' on both faces, subject 'unit', register them.";
  const content = [
    el("p", { class: "muted" }, measure),
    el("label", { for: "mark-subject" }, "Of what? A part's ref as C3, or port:C1, unit, barrier:main"),
    subject,
    el("datalist", { id: "mark-subjects" }, ...subjects.map((value) => el("option", { value }))),
    el("label", { for: "mark-text" }, "Note (may stay empty)"),
    text,
    el("p", { class: "muted" }, hint),
  ];
  const title = { box: "Pin", line: "Length", outline: "Outline" }[mark.kind];
  const answer = await show(title, content, [["yes", "Keep"], ["", "Call it off"]]);
  if (answer !== "yes") return null;
  return { ...mark, subject: subjectOf(subject.value, text.value), text: text.value.trim() };
}

/** A ref alone means a part; a scale or landmark without a subject is of the unit. */
function subjectOf(written: string, text: string): string {
  const plain = written.trim();
  if (plain === "") return /^(scale|landmark)\s*:/i.test(text.trim()) || text.trim() !== "" ? "unit" : "";
  return plain.includes(":") || plain === "unit" ? plain : `part:${plain}`;
}
