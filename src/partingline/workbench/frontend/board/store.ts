// The marks of the unit: written one by one with their versions, undone and redone, followed live.

import { settle } from "../edit/conflict";
import { on } from "../page/events";
import type { Annotation, Edited, Json, Marks as Answer } from "../page/interface";
import { refresh } from "../page/live";
import { Conflicted, ask, ofUnit, reason } from "../page/server";
import { say } from "../page/say";
import { who } from "../page/who";
import { nameOf, readMark, toAnnotation, type Mark } from "./mark";

interface Step { before: Mark | null; after: Mark | null }

export class Marks {
  list: Mark[] = [];
  private readonly done: Step[] = [];
  private readonly undone: Step[] = [];
  private readonly listeners: (() => void)[] = [];
  private queue: Promise<void> = Promise.resolve();

  constructor() {
    on("change", (change) => change.file === "photos/marks.json" && void this.load());
    on("hello", () => void this.load());
  }

  onChange(listener: () => void): void {
    this.listeners.push(listener);
  }

  /** Reads all marks anew, after what is being written. */
  load(): Promise<void> {
    return this.next(async () => {
      const { marks } = await ask<Answer>("GET", ofUnit("marks"));
      const read = marks.flatMap(({ annotation, version }) => readMark(annotation, version) ?? []);
      const mine = this.list.filter((mark) => this.waiting.has(mark.id));
      this.list = [...read.filter((mark) => !this.waiting.has(mark.id)), ...mine];
      this.tell();
    });
  }

  /** Writes a new, changed or removed mark; shown at once, put back where the server refuses. */
  change(before: Mark | null, after: Mark | null): Promise<void> {
    this.undone.length = 0;
    return this.apply({ before, after }, this.done);
  }

  undo(): Promise<void> {
    return this.move(this.done, this.undone, "undone");
  }

  redo(): Promise<void> {
    return this.move(this.undone, this.done, "redone");
  }

  private move(from: Step[], to: Step[], word: string): Promise<void> {
    const step = from.pop();
    if (!step) {
      say(`No mark to be ${word} since this page was opened; the history has the rest.`);
      return Promise.resolve();
    }
    const now = this.list.find((mark) => mark.id === (step.after ?? step.before)?.id) ?? null;
    if (look(now) !== look(step.after)) {
      say("That mark was changed by someone else since: see the history.", "problem");
      return Promise.resolve();
    }
    return this.apply({ before: step.after, after: step.before }, to);
  }

  private apply(step: Step, log: Step[]): Promise<void> {
    const id = (step.after ?? step.before)?.id ?? "";
    this.put(id, step.after);
    this.waiting.set(id, (this.waiting.get(id) ?? 0) + 1);
    log.push(step); // at once: an undo that follows quickly is of this step
    this.tell();
    return this.next(async () => {
      const version = this.versions.get(id) ?? (step.before ? step.before.version : "absent");
      const written = await this.write(step, version);
      const left = (this.waiting.get(id) ?? 1) - 1;
      if (left > 0) this.waiting.set(id, left);
      else this.waiting.delete(id);
      if (written) return refresh();
      if (log.includes(step)) log.splice(log.indexOf(step), 1);
      await this.reload();
    });
  }

  private readonly versions = new Map<string, string>();
  /** Marks with changes that are not written yet: what is read meanwhile is older than they are. */
  private readonly waiting = new Map<string, number>();

  private async write(step: Step, version: string): Promise<boolean> {
    const id = (step.after ?? step.before)?.id ?? "";
    const name: { [key: string]: Json } = who() ? { who: who() } : {};
    for (let base = version; ; ) {
      try {
        const annotation = step.after && toAnnotation(step.after);
        const done = annotation
          ? await ask<Edited>("PUT", ofUnit("marks"), { annotation: annotation as unknown as Json, base, ...name })
          : await ask<Edited>("DELETE", ofUnit("marks"), { id, base, ...name });
        if (annotation) this.versions.set(id, done.version);
        else this.versions.delete(id);
        this.list = this.list.map((mark) => (mark.id === id ? { ...mark, version: done.version, raw: annotation } : mark));
        return true;
      } catch (error) {
        if (!(error instanceof Conflicted)) {
          say(reason(error), "problem");
          return false;
        }
        const { yours, theirs } = error.conflict;
        const chosen = await settle({ ...error.conflict, yours: words(yours), theirs: words(theirs) });
        if (chosen !== "yours") return false;
        base = error.conflict.version;
      }
    }
  }

  private async reload(): Promise<void> {
    const { marks } = await ask<Answer>("GET", ofUnit("marks"));
    this.versions.clear();
    this.list = marks.flatMap(({ annotation, version }) => readMark(annotation, version) ?? []);
    this.tell();
  }

  private put(id: string, mark: Mark | null): void {
    const there = this.list.some((one) => one.id === id);
    if (!mark) this.list = this.list.filter((one) => one.id !== id);
    else this.list = there ? this.list.map((one) => (one.id === id ? mark : one)) : [...this.list, mark];
  }

  private next(work: () => Promise<void>): Promise<void> {
    this.queue = this.queue.then(work).catch((error: unknown) => say(reason(error), "problem"));
    return this.queue;
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}

/** The mark as it is written: two that are written alike are alike. */
function look(mark: Mark | null): string {
  if (!mark) return "";
  return JSON.stringify([mark.subject, mark.text, toAnnotation(mark).target.selector.value]);
}

/** An annotation in a line for the conflict dialog. */
function words(value: Json): Json {
  const mark = typeof value === "object" && value !== null && !Array.isArray(value) ? readMark(value as unknown as Annotation, "") : null;
  if (!mark) return value;
  const where = mark.points.map((p) => `${p.x.toFixed(0)}, ${p.y.toFixed(0)}`).join("\n  ");
  return `${nameOf(mark)}${mark.text ? ` (${mark.text})` : ""}\n${mark.kind} on ${mark.photo}, px\n  ${where}`;
}
