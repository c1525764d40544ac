import { Temporal } from 'temporal-polyfill';
import { startOfDay } from '../../domain/calendar/zone.js';
import { dateFault, instantFault } from '../http/fields.js';
import type { Delimiter } from './csv-text.js';

/** What a cell says; or why that cannot be told. */
export type Read<T> = { value: T } | { fault: string };

const shown = (text: string): string => `"${text.length > 60 ? `${text.slice(0, 57)}…` : text}"`;

/**
 * A number as a cell has it. Thousands are not parted. A file with commas between its cells has a decimal point; one with semicolons
 * or tabs may have a decimal comma, and where a point or comma before three digits could be either, it is asked.
 */
export function numberIn(text: string, delimiter: Delimiter): Read<number> {
  const cell = text.trim();
  const plain = /^[+-]?\d+(?:([.,])(\d+))?$/.exec(cell);
  const [, mark, decimals] = plain ?? [];
  const mayPartThousands = decimals?.length === 3 && /^[+-]?[1-9]\d{0,2}[.,]/.test(cell);
  const isDoubtful = mayPartThousands && (delimiter === '\t' || (delimiter === ';' && mark === '.'));
  if (isDoubtful) {
    const [thousands, fraction] = [cell.replace(/[.,]/, ''), String(Number(cell.replace(',', '.')))];
    return {
      fault: `is ${shown(cell)}, which may mean ${thousands} or ${fraction}; write it as one of the two`,
    };
  }
  if (plain && !(mark === ',' && delimiter === ',')) return { value: Number(cell.replace(',', '.')) };
  if (/^[+-]?\d{1,3}([.,' \u00a0\u202f]\d{3})+([.,]\d+)?$/.test(cell) || plain)
    return {
      fault: `is ${shown(cell)}; a number without thousands separators and with a decimal point is needed`,
    };
  return { fault: `is ${shown(cell)}; a number is needed` };
}

const OTHER_ORDER = /^\d{1,2}[./-]\d{1,2}[./-]\d{2,4}( |$)/;

/** A civil date; a midnight that a spreadsheet put behind it is passed over. */
export function dateIn(text: string): Read<string> {
  const cell = text.trim().replace(/[T ]00:00(:00)?$/, '');
  const fault = dateFault(cell);
  if (fault === null) return { value: cell };
  return { fault: OTHER_ORDER.test(cell) ? `${fault}: day and month cannot be told apart otherwise` : fault };
}

/**
 * An instant: with its offset (RFC 3339), or by the clock of the fleet's time zone; a date alone stands for its noon.
 *
 * @returns RFC 3339
 */
export function instantIn(text: string, timeZone: string): Read<string> {
  const cell = text.trim();
  const local = /^(\d{4}-\d{2}-\d{2})[T ](\d{1,2}:\d{2}(?::\d{2})?)$/.exec(cell);
  if (local) {
    const [, day = '', time = ''] = local;
    const fault = dateFault(day);
    if (fault) return { fault };
    try {
      const at = Temporal.PlainDateTime.from(`${day}T${time.padStart(time.split(':').length * 3 - 1, '0')}`, {
        overflow: 'reject',
      });
      return { value: at.toZonedDateTime(timeZone, { disambiguation: 'reject' }).toInstant().toString() };
    } catch {
      return {
        fault: `is ${shown(cell)}, a time that ${timeZone} does not have on that day, or has twice; write it with its offset, such as -06:00`,
      };
    }
  }
  if (/^\d{4}-\d{2}-\d{2}$/.test(cell)) {
    const fault = dateFault(cell);
    return fault ? { fault } : { value: new Date(noonOf(cell, timeZone)).toISOString() };
  }
  const fault = instantFault(cell);
  if (fault === null) return { value: cell };
  return { fault: OTHER_ORDER.test(cell) ? `${fault}: day and month cannot be told apart otherwise` : fault };
}

/** The middle of a civil day: what is known by its date alone is placed there. Epoch milliseconds. */
export function noonOf(date: string, timeZone: string): number {
  return startOfDay(date, timeZone) + 12 * 3_600_000;
}

const YES = new Set(['true', 'yes', 'y', '1']);
const NO = new Set(['false', 'no', 'n', '0']);

export function flagIn(text: string): Read<boolean> {
  const cell = text.trim().toLowerCase();
  if (YES.has(cell)) return { value: true };
  if (NO.has(cell)) return { value: false };
  return { fault: `is ${shown(text.trim())}; true or false is needed` };
}

/** A word of a fixed list, as the API writes it: `Water Pump` for water-pump. */
export function wordIn(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replaceAll(/[\s_]+/g, '-');
}
