// What is known of the subject that is chosen, below the board: a piece of the page, fetched anew when it changes.

import { chosen, current } from "../page/chosen";
import { find } from "../page/dom";
import { unit } from "../page/server";

let asked: AbortController | null = null;

/** Follows the chosen subject and the events, if the page has a place for it. */
export function aboutChosen(): void {
  if (!find("#about")) return;
  chosen((subject) => void show(subject));
  document.addEventListener("partingline:fresh", () => current() && void show(current()));
}

async function show(subject: string): Promise<void> {
  asked?.abort();
  const mine = (asked = new AbortController());
  try {
    const address = `/unit/${encodeURIComponent(unit)}/about?of=${encodeURIComponent(subject)}`;
    const response = await fetch(address, { signal: mine.signal, credentials: "same-origin" });
    const fresh = find("#about", new DOMParser().parseFromString(await response.text(), "text/html"));
    const old = find("#about");
    if (response.ok && fresh && old && !old.contains(document.activeElement)) old.replaceWith(document.adoptNode(fresh));
  } catch {
    // aborted by a newer one, or no connection: what stands there stays
  }
}
