// A form with one field of the unit: written when it is left or accepted, updated when others write it.

import { all, el } from "../page/dom";
import { on } from "../page/events";
import type { Json, Path } from "../page/interface";
import { reason } from "../page/server";
import { say } from "../page/say";
import { refresh } from "../page/live";
import { draftOf, dropDraft, keepDraft } from "./draft";
import { write } from "./write";

type Control = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

class Field {
  readonly file: string;
  readonly path: string;
  private written: string;
  private busy = false;

  constructor(private readonly form: HTMLFormElement, readonly control: Control) {
    this.file = this.hidden("file").value;
    this.path = this.hidden("path").value;
    this.written = shown(control);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.save();
    });
    control.addEventListener("input", () => this.draft());
    control.addEventListener("change", () => void this.save());
    control.addEventListener("keydown", (event) => this.key(event as KeyboardEvent));
    this.restore();
  }

  get dirty(): boolean {
    return shown(this.control) !== this.written;
  }

  /** Someone wrote it: taken over, unless something else is being typed here. */
  take(value: string, version: string): void {
    if (this.dirty && shown(this.control) !== value) return this.mark("changed meanwhile: you will see both");
    put(this.control, value);
    this.settled(value, version);
  }

  private async save(): Promise<void> {
    if (this.busy || !this.dirty) return;
    this.busy = true;
    const value = shown(this.control);
    this.mark("writing");
    try {
      const edit = { file: this.file, path: JSON.parse(this.path) as Path, value: this.meant(value), base: this.hidden("base").value };
      const done = await write(edit);
      if (!done) return this.mark("not written yet: Enter decides");
      if (shown(this.control) === value) put(this.control, text(done.value));
      this.settled(text(done.value), done.version);
      this.mark("");
      say("Saved.");
      refresh();
    } catch (error) {
      this.mark("not written");
      say(reason(error), "problem");
    } finally {
      this.busy = false;
    }
  }

  /** What the text means: a list has an item a line, a whole text stays as it is, an emptied field goes. */
  private meant(value: string): Json {
    const has = (name: string): boolean => this.form.querySelector(`input[name="${name}"]`) !== null;
    if (has("listed")) {
      const items = value.split("\n").map((line) => line.trim()).filter(Boolean);
      return items.length > 0 ? items : null;
    }
    return (has("whole") || value.includes("\n") ? value : value.trim()) || null;
  }

  private settled(value: string, version: string): void {
    this.written = value;
    this.hidden("base").value = version;
    if (!this.dirty) dropDraft(this.file, this.path);
  }

  private draft(): void {
    if (this.dirty) keepDraft(this.file, this.path, { value: shown(this.control), base: this.hidden("base").value });
    else dropDraft(this.file, this.path);
    this.mark("");
  }

  private restore(): void {
    const draft = draftOf(this.file, this.path);
    if (!draft || draft.value === this.written) return;
    put(this.control, draft.value);
    this.hidden("base").value = draft.base;
    this.mark("typed before the reload, not written yet: Enter writes it");
  }

  private key(event: KeyboardEvent): void {
    if (event.key === "Escape" && this.dirty) {
      put(this.control, this.written);
      dropDraft(this.file, this.path);
      this.mark("");
    } else if (event.key === "Enter" && (event.ctrlKey || event.metaKey || this.control instanceof HTMLInputElement)) {
      event.preventDefault();
      void this.save();
    }
  }

  private mark(words: string): void {
    let note = this.form.querySelector<HTMLElement>(".note");
    if (!note) this.form.append((note = el("span", { class: "note", role: "status" })));
    note.textContent = words;
  }

  private hidden(name: string): HTMLInputElement {
    const input = this.form.querySelector<HTMLInputElement>(`input[name="${name}"]`);
    if (!input) throw new Error(`a form of one field has no '${name}'`);
    return input;
  }
}

/** Takes over every form of one field. */
export function fields(): void {
  const known = new Map<HTMLFormElement, Field>();
  const takeOver = (): void => {
    for (const form of all<HTMLFormElement>("form[data-edit]")) {
      const control = form.elements.namedItem("value");
      if (!known.has(form) && isControl(control)) known.set(form, new Field(form, control));
    }
  };
  takeOver();
  on("change", (change) => {
    const path = JSON.stringify(change.path);
    for (const field of known.values()) {
      if (field.file !== change.file || !same(field.path, path) || change.value === undefined) continue;
      field.take(text(change.value), change.version ?? "absent");
    }
  });
  document.addEventListener("partingline:fresh", (event) => {
    takeOver();
    compare([...known.values()], (event as CustomEvent<Document>).detail);
  });
}

/** Fields whose file was edited by hand: their values come with the fresh page. */
function compare(known: Field[], fresh: Document): void {
  for (const form of all<HTMLFormElement>("form[data-edit]", fresh)) {
    const said = (name: string): string => form.querySelector<HTMLInputElement>(`input[name="${name}"]`)?.value ?? "";
    const control = form.elements.namedItem("value");
    const mine = known.find((field) => field.file === said("file") && same(field.path, said("path")));
    if (mine && !mine.dirty && isControl(control)) mine.take(shown(control), said("base"));
  }
}

function same(a: string, b: string): boolean {
  return a === b || (b !== "" && JSON.stringify(JSON.parse(a)) === JSON.stringify(JSON.parse(b)));
}

function isControl(found: Element | RadioNodeList | null): found is Control {
  return found instanceof HTMLInputElement || found instanceof HTMLTextAreaElement || found instanceof HTMLSelectElement;
}

function shown(control: Control): string {
  if (control instanceof HTMLInputElement && control.type === "checkbox") return String(control.checked);
  return control.value;
}

function put(control: Control, value: string): void {
  if (control instanceof HTMLInputElement && control.type === "checkbox") control.checked = value === "true";
  else if (control.value !== value) control.value = value;
}

function text(value: Json): string {
  if (value === null) return "";
  return Array.isArray(value) ? value.map(text).join("\n") : typeof value === "object" ? JSON.stringify(value) : String(value);
}
