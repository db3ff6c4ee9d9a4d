// A new unit from files that are dropped on the bench: where each goes is shown, and can be changed, before it is made.

import { el, find } from "../page/dom";
import { ask, reason } from "../page/server";
import { say } from "../page/say";
import { upload } from "./upload";

interface Chosen { file: File; row: HTMLElement; folder(): string }

export function newUnit(): void {
  const form = find<HTMLFormElement>("form[data-new]");
  const input = form && find<HTMLInputElement>('input[type="file"]', form);
  if (form && input) new NewUnit(form, input);
}

class NewUnit {
  private readonly list = el("ul", { class: "uploads", "aria-live": "polite" });
  private readonly folders: Record<string, string[]>;
  private chosen: Chosen[] = [];
  private made = "";

  constructor(private readonly form: HTMLFormElement, input: HTMLInputElement) {
    this.folders = JSON.parse(form.dataset["new"] ?? "{}") as Record<string, string[]>;
    find("button", form)?.before(this.list);
    input.addEventListener("change", () => {
      this.add([...(input.files ?? [])]);
      input.value = "";
    });
    window.addEventListener("dragover", () => form.classList.add("over"));
    window.addEventListener("dragleave", () => form.classList.remove("over"));
    window.addEventListener("drop", (event) => {
      form.classList.remove("over");
      this.add([...(event.dataTransfer?.files ?? [])]);
    });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.make();
    });
  }

  private add(files: File[]): void {
    for (const file of files) {
      const folders = this.folders[`.${file.name.toLowerCase().split(".").at(-1) ?? ""}`];
      const row = el("li", {}, file.name, " ");
      this.list.append(row);
      if (!folders) {
        row.append(el("span", { class: "short" }, "is of a kind that is not read here and is left out"));
        continue;
      }
      const select = el("select", { "aria-label": `where ${file.name} goes` }, ...folders.map((one) => el("option", { value: one }, `${one}/`)));
      const out = el("button", { type: "button", class: "quiet", "aria-label": `leave ${file.name} out` }, "leave out");
      const one: Chosen = { file, row, folder: () => select.value };
      out.addEventListener("click", () => {
        row.remove();
        this.chosen = this.chosen.filter((other) => other !== one);
      });
      row.append(select, " ", out);
      this.chosen.push(one);
    }
    const name = find<HTMLInputElement>('input[name="id"]', this.form);
    if (files.length > 0) name?.focus();
  }

  /** The folder first, then its files one after the other; what is refused stays to be read. */
  private async make(): Promise<void> {
    const id = new FormData(this.form).get("id");
    try {
      this.made ||= (await ask<{ id: string }>("POST", "/api/bench", { id: String(id).trim() })).id;
    } catch (error) {
      return say(reason(error), "problem");
    }
    const at = encodeURIComponent(this.made);
    let refused = false;
    for (const { file, row, folder } of this.chosen.splice(0)) {
      const address = `/api/unit/${at}/uploads/${folder()}/${encodeURIComponent(file.name)}`;
      row.replaceChildren(file.name);
      refused = !(await upload(file, address, row)) || refused;
    }
    if (!refused) return location.assign(`/unit/${at}/outside`);
    const on = el("a", { href: `/unit/${at}/outside` }, `go on to ${this.made}`);
    this.list.after(el("p", {}, "The unit is made; some files were not taken. ", on));
    on.focus();
  }
}
