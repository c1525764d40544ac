import type { Message } from '../../../../../../src/domain/message.js';
import { messages } from '../../../../../../src/domain/message.js';
import type { DueLine } from '../../../kit/due/due-line.js';
import { locale, tell } from '../../../kit/texts/tell.js';
import type { Quantity, Vehicle } from '../types.js';
import { message } from './messages.js';
import { numberIn } from './number.js';

/** Terms of the trade, whose codes the rules declare. */
const term = messages({ 'part-in-circuit': { part: 'text', circuit: 'text' } });

/** What a code without values says. */
export const named = (code: string): string => tell({ code, values: {} } satisfies Message);

/** `2019 Harrow H40`; nothing where neither is known. */
export const makeInWords = ({ modelYear, make, model }: Pick<Vehicle, 'modelYear' | 'make' | 'model'>) =>
  [modelYear, make, model].filter(Boolean).join(' ');

/** A number by the reader's language, with as many digits as somebody reads. */
export const numberInWords = (value: number): string => numberIn(locale(), value);

/** `61,250 mi`; nothing is added to a number without a unit, which is `1`. */
export function quantityInWords(quantity: Quantity): string {
  const { value, unit = '1' } = quantity ?? {};
  if (value === undefined) return tell(message('desk-vehicle-not-known'));
  const degrees = unit === 'C' || unit === 'F' ? '°' : '';
  return unit === '1' ? numberInWords(value) : `${numberInWords(value)} ${degrees}${unit}`;
}

/** By which limit a line comes due first, and what is left to it: `By distance. 300 mi left.` */
export function leftInWords({ trigger, dueOn, remaining }: DueLine): string[] {
  const left = [remaining.distance, remaining.engineHours].flatMap((quantity: Quantity) => {
    if (quantity?.value === undefined) return [];
    const amount = quantityInWords({ ...quantity, value: Math.abs(quantity.value) });
    return quantity.value < 0
      ? tell(message('desk-vehicle-over', { amount }))
      : tell(message('desk-vehicle-left', { amount }));
  });
  return dueOn === null || trigger === null ? left : [tell(message(`desk-vehicle-by-${trigger}`)), ...left];
}

/** `coolant, battery circuit`; only the part where the vehicle has one circuit. */
export const inCircuit = (part: string, circuit: string | null | undefined): string =>
  circuit ? tell(term('part-in-circuit', { part, circuit: named(`circuit-${circuit}`) })) : part;

/** `April, May and October` */
export function monthsInWords(months: readonly number[]): string {
  const month = new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', month: 'long' });
  const names = [...months].sort((a, b) => a - b).map((one) => month.format(Date.UTC(2001, one - 1, 15)));
  return new Intl.ListFormat(locale(), { type: 'conjunction' }).format(names);
}

/** The values of a field, each with what it is called. */
type Named = readonly (readonly [value: string, name: string])[];

export const statusChoices = (): Named =>
  (['in-use', 'laid-up', 'disposed'] as const).map((one) => [
    one,
    tell(message(`desk-vehicle-status-${one}`)),
  ]);

export const dutyChoices = (): Named =>
  (['normal', 'severe'] as const).map((one) => [one, tell(message(`desk-vehicle-duty-${one}`))]);
