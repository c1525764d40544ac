import { addDays, addMonths, type CivilDate } from '../calendar/civil-date.js';
import { isSeasonal, type InUseMonths } from '../usage/days-in-use.js';

/**
 * So long before the first day of a season the work is due; common practice, no published source.
 */
export const DAYS_BEFORE_SEASON = 14;

/** What the next season is counted from. */
export interface SeasonStart {
  /** When the work was last done, or the vehicle went into service. */
  doneOn: CivilDate;
  /** The first day from which the interval applies; nothing is due before. */
  askedFrom: CivilDate;
  /** How long before the due day the work may be done. */
  windowDays: number;
}

/**
 * When work is due before a seasonal vehicle's next season: 14 days before the first day of the
 * first month in use that follows a month of rest.
 *
 * Work done since the window of a season opened counts for that season, so that a little early or
 * late does not ask for it twice; the next one is then a season later. A vehicle that is in use all
 * year has no season.
 *
 * @param months 1 to 12, in any order; those of the southern hemisphere run over the end of the
 * year.
 * @returns null for a vehicle without seasons.
 * @example dueBeforeSeason([4, 5, 6, 7, 8, 9, 10], { doneOn: '2025-11-10', askedFrom: '2025-11-10', windowDays: 30 }) // '2026-03-18'
 */
export function dueBeforeSeason(months: InUseMonths, from: SeasonStart): CivilDate | null {
  if (!isSeasonal(months)) return null;
  const earliest = from.askedFrom > from.doneOn ? from.askedFrom : from.doneOn;
  for (let first = `${earliest.slice(0, 7)}-01`; ; first = addMonths(first, 1)) {
    if (!isFirstMonth(Number(first.slice(5, 7)), months)) continue;
    const dueOn = addDays(first, -DAYS_BEFORE_SEASON);
    if (dueOn >= from.askedFrom && addDays(dueOn, -from.windowDays) > from.doneOn) return dueOn;
  }
}

function isFirstMonth(month: number, months: readonly number[]): boolean {
  return months.includes(month) && !months.includes(month === 1 ? 12 : month - 1);
}
