// What is typed into a form that is sent as a whole survives a reload; it goes when the form is sent.

import { all, el, find } from "../page/dom";

type Control = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;
const KINDS = 'input:not([type="hidden"]):not([type="file"]):not([type="checkbox"]), textarea:not([hidden]), select';

/** Takes over the forms that are posted, except those of one field, which keep their own drafts. */
export function keepForms(): void {
  for (const form of all<HTMLFormElement>('form[method="post"]:not([data-edit])')) restore(form);
  document.addEventListener("input", (event) => {
    const control = event.target;
    const form = control instanceof Element ? control.closest<HTMLFormElement>('form[method="post"]:not([data-edit])') : null;
    if (form && isControl(control) && control.matches(KINDS)) store((kept) => kept.setItem(key(form, control), control.value));
  });
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form instanceof HTMLFormElement) for (const control of controls(form)) store((kept) => kept.removeItem(key(form, control)));
  });
}

function restore(form: HTMLFormElement): void {
  let found = false;
  for (const control of controls(form)) {
    const value = store((kept) => kept.getItem(key(form, control)));
    if (value == null || value === control.value) continue;
    control.value = value;
    found = true;
  }
  if (found && !find(".note", form)) form.append(el("span", { class: "note", role: "status" }, "typed before the reload, not sent yet"));
}

function controls(form: HTMLFormElement): Control[] {
  return all<Control>(KINDS, form).filter((control) => control.name !== "");
}

/** The form's place on its page: address, where it goes, and what it is about. */
function key(form: HTMLFormElement, control: Control): string {
  const about = find<HTMLInputElement>('input[name="key"], input[name="file"], input[name="photo"]', form)?.value ?? "";
  return `partingline form ${location.pathname} ${form.getAttribute("action")?.split("?")[0] ?? ""} ${about} ${control.name}`;
}

function isControl(found: unknown): found is Control {
  return found instanceof HTMLInputElement || found instanceof HTMLTextAreaElement || found instanceof HTMLSelectElement;
}

function store<T>(use: (kept: Storage) => T): T | undefined {
  try {
    return use(sessionStorage);
  } catch {
    return undefined; // storage is switched off or full: what is typed lives as long as the page
  }
}
