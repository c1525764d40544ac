/** Text that is already HTML. */
export class Html {
  constructor(readonly text: string) {}
}

const ESCAPES: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};
// Control characters are not allowed in HTML. Marks that change the writing direction could let a
// name rewrite the text next to it.
// oxlint-disable-next-line no-control-regex -- the very characters looked for
const UNPRINTABLE = /[\u0000-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]+/g;

function escaped(text: string): string {
  return text.replaceAll(UNPRINTABLE, ' ').replaceAll(/[&<>"']/g, (character) => ESCAPES[character] ?? '');
}

type Insert = string | number | Html | null | readonly Insert[];

function insert(value: Insert): string {
  if (value === null) return '';
  if (value instanceof Html) return value.text;
  if (typeof value === 'string' || typeof value === 'number') return escaped(String(value));
  return value.map(insert).join('');
}

/**
 * Builds HTML from a template. Escapes all values except those that are already HTML; leaves null
 * out.
 */
export function html(parts: TemplateStringsArray, ...values: Insert[]): Html {
  return new Html(parts.reduce((text, part, index) => text + insert(values[index - 1] ?? null) + part));
}
