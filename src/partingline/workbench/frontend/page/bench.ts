// The bench while its units are being judged: the table is asked for again until each has its verdict.

import { find } from "./dom";

const AGAIN_MS = 2000;

/** Follows the table of units, if the page has one with units that are not judged yet. */
export function followBench(): void {
  if (find("table.units[data-unjudged]")) window.setTimeout(() => void again(), AGAIN_MS);
}

async function again(): Promise<void> {
  try {
    const response = await fetch(location.href, { credentials: "same-origin" });
    const fresh = find("table.units", new DOMParser().parseFromString(await response.text(), "text/html"));
    const old = find("table.units");
    if (response.ok && fresh && old && !old.contains(document.activeElement)) old.replaceWith(document.adoptNode(fresh));
  } catch {
    // no connection: asked again
  }
  followBench();
}
