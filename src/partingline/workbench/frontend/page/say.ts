// What is said to everyone: a line at the foot of the page, read aloud; errors stay until the next word.

import { el } from "./dom";

const line = el("p", { class: "said", role: "status", "aria-live": "polite" });
let timer = 0;

export function say(text: string, kind: "done" | "problem" = "done"): void {
  if (!line.isConnected) document.body.append(line);
  window.clearTimeout(timer);
  line.className = `said ${kind}`;
  line.textContent = text;
  if (kind === "done") timer = window.setTimeout(() => (line.textContent = ""), 4000);
}
