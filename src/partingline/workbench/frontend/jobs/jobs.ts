// Long work: started by a form, shown with its progress, cancelled; the server keeps it over a reload.

import { all, el, find, set } from "../page/dom";
import { on } from "../page/events";
import type { Job, Json } from "../page/interface";
import { refresh } from "../page/live";
import { ask, ofUnit, reason, unit } from "../page/server";
import { say } from "../page/say";

const rows = new Map<string, HTMLElement>();
let heard = 0;

export function jobs(): void {
  const list = find("[data-jobs]");
  if (list) {
    on("job", (job) => {
      heard += 1;
      put(list, job);
    });
    on("hello", () => void load(list));
    void load(list);
  }
  for (const form of all<HTMLFormElement>("form[data-job]")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void start(form, event.submitter, list);
    });
  }
}

async function start(form: HTMLFormElement, button: HTMLElement | null, list: HTMLElement | null): Promise<void> {
  const data = new FormData(form);
  const formats = data.getAll("formats").concat(data.getAll("format")).map(String);
  const photo = data.get("photo");
  const body: { [key: string]: Json } = { kind: form.dataset["job"] ?? "" };
  if (formats.length > 0) body["formats"] = formats;
  if (typeof photo === "string") body["photo"] = photo;
  const language = data.get("language");
  if (typeof language === "string") body["language"] = language;
  if (button) set(button, { "aria-disabled": true });
  try {
    const job = await ask<Job>("POST", ofUnit("jobs"), body);
    if (list) put(list, job);
  } catch (error) {
    say(reason(error), "problem");
  } finally {
    if (button) set(button, { "aria-disabled": null });
  }
}

/** The list as the server has it; asked again where an event came meanwhile, which is newer than the answer. */
async function load(list: HTMLElement): Promise<void> {
  const before = heard;
  try {
    const answer = await ask<Job[] | { jobs: Job[] }>("GET", ofUnit("jobs"));
    if (heard !== before) return load(list);
    const found = Array.isArray(answer) ? answer : answer.jobs;
    list.replaceChildren();
    rows.clear();
    for (const job of found) put(list, job);
  } catch {
    // the page's own list stays
  }
}

function put(list: HTMLElement, job: Job): void {
  const old = rows.get(job.id);
  const row = rowOf(job, list.tagName);
  rows.set(job.id, row);
  const focused = old?.contains(document.activeElement);
  if (old) old.replaceWith(row);
  else list.prepend(row);
  if (focused) (find("button, a", row) ?? list).focus();
  if (old && old.dataset["state"] !== job.state && job.state === "done") {
    say(`${job.kind}: done`);
    refresh();
  }
}

function rowOf(job: Job, parent: string): HTMLElement {
  const open = job.state === "waiting" || job.state === "running";
  const row = el(parent === "UL" || parent === "OL" ? "li" : "div", { class: "job", "data-state": job.state });
  const id = `job-${job.id}`;
  row.append(el("span", { id }, job.kind), " ", el("span", { class: job.state === "failed" ? "short" : "muted" }, open ? job.doing || job.state : job.state));
  if (open) {
    const cancel = el("button", { type: "button", "aria-describedby": id }, "cancel");
    cancel.addEventListener("click", () => void ask("DELETE", ofUnit("jobs", encodeURIComponent(job.id))).catch((error: unknown) => say(reason(error), "problem")));
    row.append(" ", el("progress", { max: 1, value: job.done, "aria-labelledby": id }), " ", cancel);
  }
  if (job.error) row.append(el("p", {}, words(job.error)));
  for (const note of notes(job.result)) row.append(el("p", { class: "muted" }, note));
  for (const [name, href] of links(job.result)) row.append(" ", el("a", { href }, name));
  return row;
}

function words(error: Json): string {
  if (typeof error === "string") return error;
  if (typeof error !== "object" || error === null || Array.isArray(error)) return String(error);
  return ["place", "found", "expected", "next_step"].map((name) => error[name]).filter(Boolean).join(" · ");
}

/** Where a bag lies, and what to mind of it. */
function notes(result: Json): string[] {
  if (typeof result !== "object" || result === null || Array.isArray(result) || typeof result["bag"] !== "string") return [];
  const minded = Array.isArray(result["notes"]) ? result["notes"].map(String) : [];
  return [`sealed as ${result["bag"]}, beside the unit's folder; partingline bag --verify looks whether it is still whole`, ...minded];
}

/** What a result names: files of the folder that was written. */
function links(result: Json): [name: string, href: string][] {
  if (typeof result !== "object" || result === null || Array.isArray(result)) return [];
  const files = result["files"];
  const folder = typeof result["folder"] === "string" ? result["folder"] : "report";
  if (!Array.isArray(files)) return [];
  const names = files.filter((file): file is string => typeof file === "string" && !file.includes("/"));
  return names.map((file) => [file, `/unit/${encodeURIComponent(unit)}/${folder}/${encodeURIComponent(file)}`]);
}
