// Long lists: narrowed by words and by kinds as one types, gone through by arrows. The address keeps what was asked.

import { all, find, takesText } from "./dom";

/** Takes over every `form[data-filter]`, whose value is the id of the list, and every `[data-items]`. */
export function filters(): void {
  const narrowAll = (): void => all<HTMLFormElement>("form[data-filter]").forEach(narrow);
  const own = (event: Event): HTMLFormElement | null => (event.target instanceof Element ? event.target.closest("form[data-filter]") : null);
  document.addEventListener("input", (event) => {
    const form = own(event);
    if (!form) return;
    narrow(form);
    if (!form.hasAttribute("data-keep")) history.replaceState(null, "", `${location.pathname}?${query(form)}${location.hash}`);
  });
  document.addEventListener("submit", (event) => own(event) && event.preventDefault());
  for (const name of ["partingline:fresh", "partingline:list"]) document.addEventListener(name, narrowAll);
  narrowAll();
  document.addEventListener("keydown", step);
  document.addEventListener("keydown", slash);
}

function narrow(form: HTMLFormElement): void {
  form.querySelector("button")?.remove(); // narrowed as one types
  const list = document.getElementById(form.dataset["filter"] ?? "");
  if (!list) return;
  const words = (find<HTMLInputElement>('input[type="search"]', form)?.value ?? "").toLowerCase().split(/\s+/).filter(Boolean);
  const boxes = all<HTMLInputElement>('input[type="checkbox"]', form);
  const kinds = new Map<string, Set<string>>();
  for (const box of boxes) if (box.checked) kinds.set(box.name, (kinds.get(box.name) ?? new Set()).add(box.value));
  const chosen = all<HTMLSelectElement>("select", form).filter((select) => select.value);
  let seen = 0;
  const items = all("[data-item]", list);
  for (const item of items) {
    const text = item.textContent?.toLowerCase() ?? "";
    const fits =
      words.every((word) => text.includes(word)) &&
      [...kinds].every(([name, values]) => values.has(item.dataset[name] ?? "")) &&
      chosen.every((select) => item.dataset[select.name] === select.value);
    item.hidden = !fits;
    if (fits) seen += 1;
  }
  for (const heading of all("[data-heading]", list)) heading.hidden = !all(`[data-item][data-group="${CSS.escape(heading.dataset["heading"] ?? "")}"]`, list).some((item) => !item.hidden);
  const count = find("[data-count]", form);
  if (count) count.textContent = `${seen} of ${items.length} shown`;
}

function query(form: HTMLFormElement): string {
  const told = new URLSearchParams();
  for (const [name, value] of new FormData(form)) if (typeof value === "string" && value) told.append(name, value);
  return told.toString();
}

/** Down and up (j and k) go through the items that are seen; Enter opens the first link of one. */
function step(event: KeyboardEvent): void {
  const item = event.target instanceof Element ? event.target.closest<HTMLElement>("[data-item]") : null;
  if (!item || event.target !== item || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Enter") return find("a[href]", item)?.click();
  const by = { ArrowDown: 1, j: 1, ArrowUp: -1, k: -1 }[event.key];
  if (!by) return;
  const seen = all("[data-item]", item.closest("[data-items]") ?? document.body).filter((one) => !one.hidden);
  const next = seen[seen.indexOf(item) + by];
  if (!next) return;
  event.preventDefault();
  item.tabIndex = -1;
  next.tabIndex = 0;
  next.focus();
}

/** `/` goes to the search of the page. */
function slash(event: KeyboardEvent): void {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || takesText(event.target)) return;
  const search = find<HTMLInputElement>("[data-slash]");
  if (!search) return;
  event.preventDefault();
  search.focus();
  search.select();
}
