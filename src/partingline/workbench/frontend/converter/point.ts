// The operating point moved by sliders, numbers and keys: the latest one that was asked for is shown.

import { all, find } from "../page/dom";
import { reason, unit } from "../page/server";
import { say } from "../page/say";

/** Takes over the form of the operating point, if the page has it. */
export function operatingPoint(): void {
  const form = find<HTMLFormElement>("form[data-point]");
  if (!form) return;
  form.querySelector("button")?.remove(); // shown as it is moved
  const point = new Point(form);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", (event) => {
    couple(form, event.target);
    void point.show();
  });
  document.addEventListener("partingline:fresh", () => void point.show());
}

/** A slider and its number say the same. */
function couple(form: HTMLFormElement, moved: EventTarget | null): void {
  if (!(moved instanceof HTMLInputElement)) return;
  const name = moved.dataset["for"];
  const number = name ? find<HTMLInputElement>(`input[name="${name}"]`, form) : null;
  if (number) number.value = moved.value;
  for (const slider of all<HTMLInputElement>(`input[data-for="${moved.name}"]`, form)) if (moved.value) slider.value = moved.value;
}

class Point {
  private busy = false;
  private again = false;

  constructor(private readonly form: HTMLFormElement) {}

  /** One question at a time: while one is answered, only the last of those that follow is kept. */
  async show(): Promise<void> {
    if (this.busy) {
      this.again = true;
      return;
    }
    this.busy = true;
    try {
      await this.ask();
    } catch (error) {
      say(reason(error), "problem");
    } finally {
      this.busy = false;
    }
    if (this.again) {
      this.again = false;
      await this.show();
    }
  }

  private async ask(): Promise<void> {
    if (!this.form.checkValidity()) return;
    const told = new URLSearchParams([...new FormData(this.form)].map(([name, value]) => [name, String(value)]));
    const response = await fetch(`/unit/${encodeURIComponent(unit)}/point?${told.toString()}`, { credentials: "same-origin" });
    const fresh = find("#point", new DOMParser().parseFromString(await response.text(), "text/html"));
    if (!response.ok || !fresh) return say(`The server answered ${response.status}.`, "problem");
    find("#point")?.replaceWith(document.adoptNode(fresh));
    history.replaceState(null, "", `${location.pathname}?${told.toString()}${location.hash}`);
  }
}
