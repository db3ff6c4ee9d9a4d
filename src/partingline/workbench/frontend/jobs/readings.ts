// What is printed on the photos, read in the background: proposals that a person corrects and accepts, one by one.

import { current } from "../page/chosen";
import { all, el, find } from "../page/dom";
import { on } from "../page/events";
import type { Job, Json } from "../page/interface";
import { refresh } from "../page/live";
import { say } from "../page/say";
import { ask, ofUnit, reason } from "../page/server";
import { who } from "../page/who";

interface Printed { subject: string; photo: string; now: string; proposals: { read: string; text: string; certainty: number }[] }

/** Takes over the places for readings: of the label, or of the parts that are pinned. */
export function readings(): void {
  for (const place of all("[data-readings]")) new Readings(place);
}

class Readings {
  private readonly label: boolean;
  private readonly progress = el("span", { class: "muted", role: "status" });
  private readonly list = el("ul", { class: "proposals" });
  private job = "";

  constructor(place: HTMLElement) {
    this.label = place.dataset["readings"] === "label";
    const words = this.label ? "Read the label" : "Read what is printed on the parts";
    const button = el("button", { type: "button" }, words);
    const cancel = el("button", { type: "button", class: "quiet" }, "cancel");
    cancel.hidden = true;
    button.addEventListener("click", () => void this.start());
    cancel.addEventListener("click", () => void ask("DELETE", ofUnit("jobs", this.job)).catch((error: unknown) => say(reason(error), "problem")));
    place.append(el("div", { class: "tools" }, button, this.progress, cancel), this.list);
    on("job", (job) => {
      if (job.kind !== "readings" || (this.job && job.id !== this.job)) return;
      cancel.hidden = job.state !== "running" && job.state !== "waiting";
      this.take(job);
    });
    void this.goOn();
  }

  /** The chosen part alone, or all of them. */
  private async start(): Promise<void> {
    const chosen = current();
    const subjects = this.label ? ["label"] : chosen.startsWith("part:") ? [chosen] : [];
    try {
      const job = await ask<Job>("POST", ofUnit("jobs"), { kind: "readings", subjects });
      this.job = job.id;
      this.take(job);
    } catch (error) {
      say(reason(error), "problem");
    }
  }

  /** A reload finds the reading that was going on, or its proposals. */
  private async goOn(): Promise<void> {
    try {
      const { jobs } = await ask<{ jobs: Job[] }>("GET", ofUnit("jobs"));
      const last = jobs.find((job) => job.kind === "readings");
      if (last && !this.job) this.take(last);
    } catch {
      // without the list of jobs one can still start
    }
  }

  private take(job: Job): void {
    const open = job.state === "running" || job.state === "waiting";
    this.progress.textContent = open ? `${job.doing || job.state}, ${Math.round(job.done * 100)} %` : job.state === "done" ? "" : `${job.state} ${words(job.error)}`;
    if (job.state !== "done") return;
    this.job = "";
    const printed = (job.result as unknown as { printed?: Printed[] } | null)?.printed ?? [];
    const mine = printed.filter((one) => (one.subject === "label") === this.label);
    this.list.replaceChildren(...mine.map((one) => this.row(one)));
    if (mine.length === 0) this.progress.textContent = this.label ? "nothing to read: name the label's photo first" : "nothing to read: pin a part first";
  }

  private row(one: Printed): HTMLElement {
    const text = one.proposals.map((line) => line.text || line.read).join(this.label ? "\n" : " ");
    const name = one.subject.replace(/^part:/, "");
    const field = this.label ? el("textarea", { rows: 8, "aria-label": "what is read on the label" }, text) : el("input", { value: text, "aria-label": `what is read on ${name}`, "data-marking": true });
    const certainty = one.proposals.length > 0 ? `${Math.round(Math.min(...one.proposals.map((line) => line.certainty)) * 100)} % sure at least` : "nothing was read";
    const accept = el("button", { type: "button" }, "Accept", el("span", { class: "unseen" }, ` for ${name}`));
    const row = el("li", {}, el("b", {}, name), " ", field, " ", accept, " ", el("small", { class: "muted" }, one.now ? `${certainty}; typed now: ${one.now}` : certainty));
    accept.addEventListener("click", () => void this.accept(one.subject, field.value, row));
    return row;
  }

  private async accept(subject: string, text: string, row: HTMLElement): Promise<void> {
    try {
      await ask("POST", ofUnit("readings"), { subject, text, ...(who() ? { who: who() } : {}) });
      say(`${subject.replace(/^part:/, "")}: accepted`);
      const next = find("button", (row.nextElementSibling as HTMLElement | null) ?? row.parentElement ?? row);
      row.remove();
      next?.focus();
      refresh();
    } catch (error) {
      say(reason(error), "problem");
    }
  }
}

function words(error: Json): string {
  return typeof error === "string" ? error : "";
}
