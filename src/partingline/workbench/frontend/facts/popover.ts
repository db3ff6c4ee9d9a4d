// Why this number: shown on hover and focus of a link to a fact, stays while it is pointed at or focused.

import { el, set } from "../page/dom";
import type { Fact } from "../page/interface";
import { on } from "../page/events";
import { ask, ofUnit, reason } from "../page/server";
import { factContent } from "./content";

const OPEN_MS = 140;
const CLOSE_MS = 220;
const known = new Map<string, Promise<Fact>>();
const box = el("div", { class: "why", id: "why", popover: "manual", role: "group", "aria-label": "Why this number" });
let owner: HTMLAnchorElement | null = null;
let timer = 0;

/** Listens to every link with `data-fact`, also those that come later. */
export function factPopovers(): void {
  document.addEventListener("pointerover", (event) => pointed(event.target));
  document.addEventListener("pointerout", (event) => left(event.relatedTarget));
  document.addEventListener("focusin", (event) => pointed(event.target));
  document.addEventListener("focusout", (event) => left(event.relatedTarget));
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && owner) hide();
  });
  window.addEventListener("resize", place);
  document.addEventListener("scroll", place, { passive: true, capture: true });
  on("findings", (findings) => findings.changed.forEach((key) => known.delete(key)));
  on("hello", () => known.clear());
}

function pointed(target: EventTarget | null): void {
  if (!(target instanceof Element)) return;
  if (box.contains(target) && !target.closest("a[data-fact]")) return window.clearTimeout(timer);
  const link = target.closest<HTMLAnchorElement>("a[data-fact]");
  if (!link) return;
  window.clearTimeout(timer);
  if (link !== owner && !box.contains(link)) timer = window.setTimeout(() => void open(link), OPEN_MS);
}

function left(to: EventTarget | null): void {
  window.clearTimeout(timer);
  if (!owner || (to instanceof Node && (box.contains(to) || owner.contains(to)))) return;
  timer = window.setTimeout(hide, CLOSE_MS);
}

async function open(link: HTMLAnchorElement): Promise<void> {
  const key = link.dataset["fact"] ?? "";
  owner = link;
  box.replaceChildren(el("p", { class: "muted" }, "looking it up"));
  (link.closest("p, td, th, li, dd, h1, h2, h3, .lead") ?? link).append(box);
  set(link, { "aria-describedby": "why" });
  box.showPopover();
  place();
  try {
    const fact = await fetchFact(key);
    if (owner === link) box.replaceChildren(...factContent(fact));
  } catch (error) {
    if (owner === link) box.replaceChildren(el("p", {}, reason(error)));
  }
  place();
}

function fetchFact(key: string): Promise<Fact> {
  const asked = known.get(key) ?? ask<Fact>("GET", ofUnit("facts", encodeURIComponent(key)));
  known.set(key, asked);
  asked.catch(() => known.delete(key));
  return asked;
}

function hide(): void {
  window.clearTimeout(timer);
  if (owner) set(owner, { "aria-describedby": null });
  owner = null;
  if (box.isConnected) {
    box.hidePopover();
    box.remove();
  }
}

/** Below the number, above it where there is more room, inside the window in any case. */
function place(): void {
  if (!owner || !box.isConnected) return;
  if (!owner.isConnected) return hide();
  const at = owner.getBoundingClientRect();
  const room = Math.max(at.top, innerHeight - at.bottom) - 16;
  box.style.maxHeight = `${Math.max(120, room)}px`;
  const { width, height } = box.getBoundingClientRect();
  const below = innerHeight - at.bottom >= Math.min(height + 12, at.top);
  box.style.left = `${Math.max(8, Math.min(at.left, innerWidth - width - 8))}px`;
  box.style.top = `${Math.max(8, below ? at.bottom + 6 : at.top - height - 6)}px`;
}
