// Files dropped on a form, or chosen in it: sent one after the other, with what is sent already.

import { all, el } from "../page/dom";
import { refresh } from "../page/live";
import { ofUnit } from "../page/server";
import { upload } from "./upload";

export function drops(): void {
  for (const form of all<HTMLFormElement>("form[data-drop]")) new Drop(form);
  // A file dropped beside a form would replace the page.
  for (const name of ["dragover", "drop"]) window.addEventListener(name, (event) => event.preventDefault());
}

class Drop {
  private readonly list = el("ul", { class: "uploads", "aria-live": "polite" });
  private readonly folder: string;
  private waiting: Promise<void> = Promise.resolve();

  constructor(private readonly form: HTMLFormElement) {
    this.folder = form.dataset["drop"] ?? "photos";
    form.querySelector("button")?.remove(); // files are sent as they are chosen
    form.append(this.list);
    form.addEventListener("dragover", () => form.classList.add("over"));
    form.addEventListener("dragleave", () => form.classList.remove("over"));
    form.addEventListener("drop", (event) => {
      form.classList.remove("over");
      this.send([...(event.dataTransfer?.files ?? [])]);
    });
    const input = form.querySelector<HTMLInputElement>('input[type="file"]');
    input?.addEventListener("change", () => {
      this.send([...(input.files ?? [])]);
      input.value = "";
    });
    form.addEventListener("submit", (event) => event.preventDefault());
  }

  private send(files: File[]): void {
    for (const file of files) {
      const row = el("li", {}, file.name);
      this.list.append(row);
      const address = ofUnit("uploads", encodeURIComponent(this.folder), encodeURIComponent(file.name));
      this.waiting = this.waiting.then(() => upload(file, address, row)).then(() => undefined);
    }
    this.waiting = this.waiting.then(() => (files[0] ? this.seen(files[0].name) : undefined));
  }

  /** The page shows the new files after it is read again, unless one was refused: then its reason stays. */
  private seen(name: string): void {
    refresh();
    const refused = this.list.querySelector(".short");
    if (!refused && !document.querySelector("dialog[open]")) {
      // A log is shown with its columns, so that they can be confirmed.
      if (this.folder === "logs") location.assign(`${location.pathname}?log=${encodeURIComponent(name)}`);
      else location.reload();
    }
    else this.form.querySelector<HTMLInputElement>('input[type="file"]')?.focus();
  }
}
