import { currentLocale, tell } from './language.js';
import type { DueLine, Quantity } from './types.js';

/** The day of a civil date, which has no zone: `April 2, 2026`, `2 de abril de 2026`. */
export const dayInWords = (date: string): string => dateIn(date, 'long');

/** The same for drawings, where there is little room: `Apr 2, 2026`, `2 abr 2026`. */
export const shortDay = (date: string): string => dateIn(date, 'short');

function dateIn(date: string, month: 'long' | 'short'): string {
  const format = new Intl.DateTimeFormat(currentLocale(), {
    ...{ timeZone: 'UTC', day: 'numeric', month, year: 'numeric' },
  });
  return format.format(new Date(`${date}T00:00:00Z`));
}

/** The month of a civil date, for drawings. */
export const shortMonth = (date: string): string =>
  new Intl.DateTimeFormat(currentLocale(), { timeZone: 'UTC', month: 'short' }).format(
    new Date(`${date}T00:00:00Z`),
  );

/** An instant as the fleet's clocks show it. */
export function momentInWords(at: string, timeZone: string): string {
  const format = new Intl.DateTimeFormat(currentLocale(), {
    ...{ timeZone, day: 'numeric', month: 'long', year: 'numeric' },
    ...{ hour: 'numeric', minute: '2-digit' },
  });
  return format.format(new Date(at));
}

/** A number with as many digits as somebody reads: all before the point, and three in all. */
export function numberInWords(value: number): string {
  const size = Math.abs(value);
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  return new Intl.NumberFormat(currentLocale(), { maximumFractionDigits: digits }).format(value);
}

/** `61,250 mi`; nothing is added to a number without a unit, which is `1`. */
export function quantityInWords(quantity: Quantity): string {
  const { value, unit = '1' } = quantity ?? {};
  if (value === undefined) return tell('not-known');
  return unit === '1' ? numberInWords(value) : `${numberInWords(value)} ${unit}`;
}

/** `coolant, battery circuit`; only the part where the vehicle has one circuit. */
export function inCircuit(part: string, circuit: DueLine['circuit'] | null): string {
  return circuit ? tell('part-in-circuit', { part, circuit: tell(`circuit-${circuit}`) }) : part;
}

/** `drive belt (accessory): replace` */
export function workInWords({
  component,
  action,
  item,
  circuit,
}: Pick<DueLine, 'component' | 'action'> & {
  item?: string | null;
  circuit?: DueLine['circuit'] | null;
}): string {
  const named = tell(`component-${component}`);
  const part = item ? tell('part-with-item', { component: named, item }) : named;
  return tell('work-on-part', { part: inCircuit(part, circuit), action: tell(`action-${action}`) });
}
