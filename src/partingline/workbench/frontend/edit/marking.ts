// What a marking says, while it is typed: beside any input of a marking.

import { el, set } from "../page/dom";
import { ask } from "../page/server";

interface Readings { readings: { says: string; source: string; evidence: string; fits: boolean; unread: string }[] }

const WAIT_MS = 120;
const MOST = 4;
let count = 0;

/** Listens to every input with `data-marking`, also those that come later. */
export function markings(): void {
  document.addEventListener("input", (event) => {
    const input = event.target;
    if (input instanceof HTMLInputElement && input.hasAttribute("data-marking")) decoderOf(input)();
  });
}

const decoders = new WeakMap<HTMLInputElement, () => void>();

function decoderOf(input: HTMLInputElement): () => void {
  const known = decoders.get(input);
  if (known) return known;
  const id = `marking-${++count}`;
  const list = el("ul", { class: "readings", id, "aria-live": "polite" });
  input.after(list);
  set(input, { "aria-describedby": id });
  let timer = 0;
  let running: AbortController | undefined;
  const decode = (): void => {
    window.clearTimeout(timer);
    running?.abort();
    running = new AbortController();
    const { signal } = running;
    timer = window.setTimeout(() => void fill(list, input, signal), WAIT_MS);
  };
  decoders.set(input, decode);
  return decode;
}

async function fill(list: HTMLElement, input: HTMLInputElement, signal: AbortSignal): Promise<void> {
  const text = input.value.trim();
  if (!text) return list.replaceChildren();
  const query = new URLSearchParams({ text });
  if (input.dataset["kind"]) query.set("kind", input.dataset["kind"]);
  try {
    const { readings } = await ask<Readings>("GET", `/api/marking?${query.toString()}`, undefined, signal);
    const lines = readings.slice(0, MOST).map((one) =>
      el("li", { class: one.fits ? "" : "muted" }, one.says, " ", el("small", {}, `${one.source} (${one.evidence})`)),
    );
    list.replaceChildren(...(lines.length > 0 ? lines : [el("li", { class: "muted" }, "no reading known")]));
  } catch {
    if (!signal.aborted) list.replaceChildren();
  }
}
