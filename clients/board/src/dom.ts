/** What may stand in an element: other nodes, and text, which is never read as markup. */
export type Content = Node | string | null | false | undefined;
type Attributes = Record<string, string | number | boolean | null | undefined>;

function filled<E extends Element>(element: E, attributes: Attributes, content: Content[]): E {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    element.setAttribute(name, value === true ? '' : String(value));
  }
  for (const part of content) if (part) element.append(part);
  return element;
}

/** An element of the page. */
export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...content: Content[]
): HTMLElementTagNameMap[K] {
  return filled(document.createElement(tag), attributes, content);
}

/** An element of a drawing. */
export function draw<K extends keyof SVGElementTagNameMap>(
  tag: K,
  attributes: Attributes = {},
  ...content: Content[]
): SVGElementTagNameMap[K] {
  return filled(document.createElementNS('http://www.w3.org/2000/svg', tag), attributes, content);
}

/** @throws Error where the page has no such element */
export function byId(id: string): HTMLElement {
  const element = document.getElementById(id);
  if (element === null) throw new Error(`the page has no #${id}`);
  return element;
}

/**
 * Puts new content in place of the old, and leaves whoever is reading where they were: the focus
 * goes to what bears the same `data-key`, or to `fallback` where that is gone, and what was
 * unfolded stays so.
 */
export function replaceKeeping(container: Element, content: Content[], fallback?: HTMLElement): void {
  const active = document.activeElement;
  const hadFocus = active instanceof HTMLElement && container.contains(active);
  const key = hadFocus ? active.dataset.key : undefined;
  const unfolded = new Set(
    [...container.querySelectorAll<HTMLElement>('details[open][data-key]')].map(({ dataset }) => dataset.key),
  );
  container.replaceChildren(
    ...content.filter((part) => part !== null && part !== false && part !== undefined),
  );
  for (const part of container.querySelectorAll<HTMLDetailsElement>('details[data-key]'))
    if (unfolded.has(part.dataset.key)) part.open = true;
  if (!hadFocus) return;
  const again = [...container.querySelectorAll<HTMLElement>('[data-key]')].find(
    ({ dataset }) => key !== undefined && dataset.key === key,
  );
  (again ?? fallback)?.focus({ preventScroll: again !== undefined });
}
