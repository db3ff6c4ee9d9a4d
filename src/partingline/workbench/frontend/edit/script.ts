// A script dropped on the page of words: read here, checked by the server, shown in the page and not kept.

import { find } from "../page/dom";
import { reason } from "../page/server";
import { say } from "../page/say";

const MOST_BYTES = 4 << 20;

/** Takes over the form for texts that are not kept, if the page has it. */
export function scripts(): void {
  const form = find<HTMLFormElement>("form[data-script]");
  if (!form) return;
  const file = find<HTMLInputElement>('input[type="file"]', form);
  file?.addEventListener("change", () => void read(form, file.files));
  window.addEventListener("drop", (event) => {
    const inFolder = event.target instanceof Element && event.target.closest("form[data-drop]");
    if (!inFolder) void read(form, event.dataTransfer?.files ?? null);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void check(form);
  });
}

async function read(form: HTMLFormElement, files: FileList | null): Promise<void> {
  const file = files?.[0];
  const [name, text] = [find<HTMLInputElement>('[name="name"]', form), find<HTMLTextAreaElement>('[name="text"]', form)];
  if (!file || !name || !text) return;
  if (!/\.(vtt|srt|md|txt)$/i.test(file.name)) return say(`${file.name}: expected captions or text (.vtt, .srt, .md, .txt)`, "problem");
  if (file.size > MOST_BYTES) return say(`${file.name}: more than 4 MiB; expected a text`, "problem");
  name.value = file.name;
  text.value = await file.text();
  await check(form);
}

async function check(form: HTMLFormElement): Promise<void> {
  try {
    const body = new URLSearchParams([...new FormData(form)].map(([name, value]) => [name, String(value)]));
    const response = await fetch(form.action, { method: "POST", body, credentials: "same-origin" });
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    const fresh = find("#script-check", page);
    const place = find("#script-check"); // found now: it may have been taken over while the server answered
    if (!fresh || !place) return say(find("main .lead", page)?.textContent ?? `The server answered ${response.status}.`, "problem");
    place.removeAttribute("data-live"); // what is in the folder is another text
    place.replaceChildren(...document.adoptNode(fresh).childNodes);
    document.dispatchEvent(new CustomEvent("partingline:list"));
    say(`${String(new FormData(form).get("name"))} is checked.`);
  } catch (error) {
    say(reason(error), "problem");
  }
}
