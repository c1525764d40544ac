import { dayInWords, momentInWords } from '../../../kit/texts/dates.js';
import { locale, tell } from '../../../kit/texts/tell.js';
import { fieldInWords } from './fields.js';
import { message } from './messages.js';

/** What the audit shows ids by. */
export interface Reading {
  names: ReadonlyMap<string, string>;
  timeZone: string;
}

const DAY = /^\d{4}-\d{2}-\d{2}$/;
const MOMENT = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}/;

/** A value as a person reads it. */
function valueInWords(value: unknown, { names, timeZone }: Reading): string {
  if (value === null || value === undefined || value === '') return tell(message('desk-audit-nothing'));
  if (typeof value === 'boolean') return tell(message(value ? 'desk-audit-yes' : 'desk-audit-no'));
  if (typeof value === 'number') return new Intl.NumberFormat(locale()).format(value);
  if (typeof value !== 'string') return JSON.stringify(value);
  if (DAY.test(value)) return dayInWords(value);
  return MOMENT.test(value) ? momentInWords(value, timeZone) : (names.get(value) ?? value);
}

const isNested = (value: unknown): value is object => typeof value === 'object' && value !== null;

/** The single values in a document, each with the way to it; those without a value are left out. */
function leaves(value: unknown, path: readonly string[]): [string, unknown][] {
  if (value === null || value === undefined) return [];
  if (!isNested(value)) return [[path.join('/'), value]];
  return Object.entries(value).flatMap(([name, inner]) => leaves(inner, [...path, name]));
}

/** `intervals/0/everyMonths` as `intervals 1, every months`. */
function pathInWords(path: string): string {
  const words = path
    .split('/')
    .map((step) => (/^\d+$/.test(step) ? `${Number(step) + 1}` : fieldInWords(step)));
  return words.join(' › ');
}

function changeInWords(field: string, from: unknown, to: unknown, reading: Reading): string {
  const [before, now] = [valueInWords(from, reading), valueInWords(to, reading)];
  return tell(message('desk-audit-change', { field: pathInWords(field), before, now }));
}

/** How the fields of a record changed: `elevation, m: 1500 → 1600`, a document value by value. */
export function changesInWords(changes: Readonly<Record<string, object>>, reading: Reading): string[] {
  return Object.entries(changes).flatMap(([field, change]) => {
    if ('hidden' in change) return [tell(message('desk-audit-hidden', { field: pathInWords(field) }))];
    const { from, to } = change as { from?: unknown; to?: unknown };
    if (!isNested(from) && !isNested(to)) return [changeInWords(field, from, to, reading)];
    const [before, after] = [new Map(leaves(from, [field])), new Map(leaves(to, [field]))];
    return [...new Set([...before.keys(), ...after.keys()])]
      .filter((path) => before.get(path) !== after.get(path))
      .map((path) => changeInWords(path, before.get(path), after.get(path), reading));
  });
}
