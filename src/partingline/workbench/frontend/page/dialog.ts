// Modal dialogs on the native element: focus is kept inside and goes back to where it was.

import { el } from "./dom";

interface Question { title: string; label: string; value?: string; accept: string; hint?: string; list?: string[] }

let count = 0;

/** Shows the content until a button is pressed; the pressed button's value, or null for Escape. */
export function show(title: string, content: (Node | string)[], buttons: [value: string, text: string][]): Promise<string | null> {
  const id = `dialog-${++count}`;
  const back = document.activeElement;
  const row = el("p", { class: "buttons" });
  buttons.forEach(([value, text], index) => {
    row.append(el("button", { type: "submit", value, class: index === 0 ? "first" : "" }, text));
  });
  const form = el("form", { method: "dialog" }, el("h2", { id }, title), ...content, row);
  const dialog = el("dialog", { "aria-labelledby": id }, form);
  document.body.append(dialog);
  dialog.showModal();
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => {
      dialog.remove();
      if (back instanceof HTMLElement || back instanceof SVGElement) back.focus();
      resolve(dialog.returnValue || null);
    });
  });
}

/** One line of text, or null when it was called off. */
export async function askText(question: Question): Promise<string | null> {
  const id = `answer-${count + 1}`;
  const input = el("input", { id, value: question.value ?? "", autofocus: true, autocomplete: "off", list: question.list && `${id}-list` });
  const parts: Node[] = [el("label", { for: id }, question.label), input];
  if (question.list) parts.push(el("datalist", { id: `${id}-list` }, ...question.list.map((value) => el("option", { value }))));
  if (question.hint) parts.push(el("p", { class: "muted" }, question.hint));
  const answer = await show(question.title, parts, [["yes", question.accept], ["", "Call it off"]]);
  return answer === "yes" ? input.value : null;
}
