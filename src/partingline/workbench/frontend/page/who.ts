// The name under which this browser's edits are kept.

import { el, find } from "./dom";
import { askText } from "./dialog";

const KEY = "partingline-who";

export function who(): string {
  try {
    return localStorage.getItem(KEY) ?? "";
  } catch {
    return "";
  }
}

/** A button beside the people who are here. */
export function nameButton(): void {
  const place = find('[data-live="people"]');
  if (!place) return;
  const button = el("button", { type: "button", class: "quiet" }, label());
  button.addEventListener("click", async () => {
    const name = await askText({ title: "Your name in the history", label: "Name", value: who(), accept: "Keep" });
    if (name === null) return;
    try {
      localStorage.setItem(KEY, name.trim().slice(0, 80));
    } catch {
      return;
    }
    button.textContent = label();
  });
  place.after(" ", button);
}

function label(): string {
  return who() ? `you: ${who()}` : "say your name";
}
