// The parts of the page that follow the folder: fetched again with the page, and taken over where they differ.

import { all, find } from "./dom";
import { on } from "./events";

const WAIT_MS = 10;
let timer = 0;
let running = false;
let again = false;

/** Follows the events, and goes to `[data-live]` and to every number that leads to a fact. */
export function follow(): void {
  let first = true;
  on("hello", (hello) => {
    if (!first || String(hello.state) !== document.body.dataset["state"]) refresh();
    first = false;
  });
  on("findings", ({ state }) => reach(state));
  on("change", ({ state }) => reach(state));
  on("people", refresh);
}

/** A page that shows a state shows its findings: what waits for the judging of a change brings them along. */
function reach(state: number): void {
  if (state > Number(document.body.dataset["state"])) refresh();
}

/** Takes over what changed, soon; many calls make one request, and one more where it was on its way already. */
export function refresh(): void {
  window.clearTimeout(timer);
  timer = window.setTimeout(() => void takeOver(), WAIT_MS);
}

async function takeOver(): Promise<void> {
  again = running;
  if (running) return;
  running = true;
  try {
    const response = await fetch(location.href, { credentials: "same-origin" });
    if (!response.ok) return;
    const fresh = new DOMParser().parseFromString(await response.text(), "text/html");
    replaceLive(fresh);
    replaceNumbers(fresh);
    document.body.dataset["state"] = fresh.body.dataset["state"] ?? "";
    document.dispatchEvent(new CustomEvent("partingline:fresh", { detail: fresh }));
  } catch {
    // no connection: the next event asks again
  } finally {
    running = false;
    if (again) refresh();
  }
}

function replaceLive(fresh: Document): void {
  for (const old of all("[data-live]")) {
    const name = old.dataset["live"] ?? "";
    const next = find(`[data-live="${CSS.escape(name)}"]`, fresh);
    if (!next || next.isEqualNode(old) || old.contains(document.activeElement)) continue;
    old.replaceWith(document.adoptNode(next));
  }
}

function replaceNumbers(fresh: Document): void {
  const count = new Map<string, number>();
  for (const old of all<HTMLAnchorElement>("a[data-fact]")) {
    const key = old.dataset["fact"] ?? "";
    const nth = count.get(key) ?? 0;
    count.set(key, nth + 1);
    const next = all(`a[data-fact="${CSS.escape(key)}"]`, fresh)[nth];
    if (next && next.textContent !== old.textContent) old.replaceChildren(...next.cloneNode(true).childNodes);
  }
}
