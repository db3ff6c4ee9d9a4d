// Elements made and found. Texts are always text nodes: nothing here reads markup.

type Child = Node | string | null | undefined | false;
type Attributes = Record<string, string | number | boolean | null | undefined>;

/** An HTML element; attributes that are false, null or undefined are left out, true is the empty attribute. */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  set(element, attributes);
  element.append(...children.filter(isNode));
  return element;
}

/** The same for SVG. */
export function draw<K extends keyof SVGElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...children: Child[]
): SVGElementTagNameMap[K] {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  set(element, attributes);
  element.append(...children.filter(isNode));
  return element;
}

export function set(element: Element, attributes: Attributes): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) element.removeAttribute(name);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
}

export function find<T extends Element = HTMLElement>(selector: string, root: ParentNode = document): T | null {
  return root.querySelector<T>(selector);
}

export function all<T extends Element = HTMLElement>(selector: string, root: ParentNode = document): T[] {
  return [...root.querySelectorAll<T>(selector)];
}

/** Whether a key pressed there is typed text, and no command. */
export function takesText(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLTextAreaElement ||
    target instanceof HTMLSelectElement ||
    (target instanceof HTMLInputElement && !["checkbox", "radio", "button", "submit", "range", "file"].includes(target.type))
  );
}

function isNode(child: Child): child is Node | string {
  return child !== null && child !== undefined && child !== false;
}
