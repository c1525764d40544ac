import { printable } from '../words/printable.js';

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

function escaped(text: string): string {
  return printable(text).replaceAll(/[&<>"']/g, (character) => ESCAPES[character] ?? '');
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
