// Files dropped on a form, or chosen in it: sent one after the other, with what is sent already.

import { all, el } from "../page/dom";
import { refresh } from "../page/live";
import { ofUnit, token } from "../page/server";

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
      this.waiting = this.waiting.then(() => upload(file, this.folder, row));
    }
    this.waiting = this.waiting.then(() => (files.length > 0 ? this.seen() : undefined));
  }

  /** The page shows the new files after it is read again, unless one was refused: then its reason stays. */
  private seen(): void {
    refresh();
    const refused = this.list.querySelector(".short");
    if (!refused && !document.querySelector("dialog[open]")) location.reload();
    else this.form.querySelector<HTMLInputElement>('input[type="file"]')?.focus();
  }
}

function upload(file: File, folder: string, row: HTMLElement): Promise<void> {
  const bar = el("progress", { max: 1, value: 0, "aria-label": `sending ${file.name}` });
  row.append(" ", bar);
  return new Promise((done) => {
    const request = new XMLHttpRequest(); // fetch tells no progress of what it sends
    const over = (text: string, css: string): void => {
      bar.remove();
      row.append(el("span", { class: css }, ` ${text}`));
      done();
    };
    request.open("PUT", ofUnit("uploads", encodeURIComponent(folder), encodeURIComponent(file.name)));
    request.setRequestHeader("X-Partingline", token());
    request.setRequestHeader("Content-Type", "application/octet-stream");
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) bar.value = event.loaded / event.total;
    });
    request.addEventListener("load", () => (request.status === 201 ? over("there", "muted") : over(refusal(request), "short")));
    request.addEventListener("error", () => over("the server cannot be reached; drop it again", "short"));
    request.send(file);
  });
}

function refusal(request: XMLHttpRequest): string {
  try {
    const { error } = JSON.parse(request.responseText) as { error?: { found?: string; expected?: string; next_step?: string } };
    if (error) return [error.found, error.expected && `expected ${error.expected}`, error.next_step].filter(Boolean).join("; ");
  } catch {
    // no JSON: the status says it
  }
  return request.status === 409 ? "a file of that name is there already; originals are never changed" : `refused (${request.status})`;
}
