// The unit's event stream. A hidden page closes it, so that many tabs never use up the browser's connections.

import { ofUnit, unit } from "./server";
import type { Change, Findings, Hello, Job } from "./interface";

interface Kinds { hello: Hello; change: Change; findings: Findings; job: Job; people: { people: number | string[] } }
type Listener<K extends keyof Kinds> = (data: Kinds[K]) => void;

const NAMES: (keyof Kinds)[] = ["hello", "change", "findings", "job", "people"];
const RETRY_MS = 4000;
const listeners = new Map<keyof Kinds, Listener<never>[]>();
let source: EventSource | null = null;
let retry = 0;

export function on<K extends keyof Kinds>(name: K, listener: Listener<K>): void {
  listeners.set(name, [...(listeners.get(name) ?? []), listener]);
}

/** Listens as long as the page is seen. */
export function listen(): void {
  if (!unit) return;
  document.addEventListener("visibilitychange", renew);
  window.addEventListener("pagehide", close);
  window.addEventListener("pageshow", renew);
  renew();
}

function renew(): void {
  if (document.visibilityState === "hidden") return close();
  if (source && source.readyState !== EventSource.CLOSED) return;
  open();
}

function open(): void {
  const stream = new EventSource(ofUnit("events"));
  source = stream;
  for (const name of NAMES) stream.addEventListener(name, (event) => tell(name, (event as MessageEvent<string>).data));
  stream.addEventListener("open", () => document.body.removeAttribute("data-offline"));
  stream.addEventListener("error", () => {
    document.body.setAttribute("data-offline", "");
    if (stream.readyState === EventSource.CLOSED && source === stream) retry = window.setTimeout(renew, RETRY_MS);
  });
}

function close(): void {
  window.clearTimeout(retry);
  source?.close();
  source = null;
}

function tell(name: keyof Kinds, text: string): void {
  const data = JSON.parse(text) as never;
  for (const listener of listeners.get(name) ?? []) listener(data);
}
