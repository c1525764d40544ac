export const DAY_MS = 86_400_000;

/** Days that a strip shows before and after today: a quarter ahead, as far as work is planned. */
const BACK_DAYS = 35;
export const AHEAD_DAYS = 119;

export const dayNumber = (date: string): number => Math.round(Date.parse(`${date}T00:00:00Z`) / DAY_MS);
export const dateOfDay = (day: number): string => new Date(day * DAY_MS).toISOString().slice(0, 10);

export interface TimeAxis {
  today: number;
  first: number;
  last: number;
}

export function axisAround(today: string): TimeAxis {
  const day = dayNumber(today);
  return { today: day, first: day - BACK_DAYS, last: day + AHEAD_DAYS };
}

/**
 * Where a day stands on the strip, in percent of its width; before its beginning below 0, past its
 * end above 100.
 */
export function placeOf(axis: TimeAxis, day: number): number {
  return ((day - axis.first) / (axis.last - axis.first)) * 100;
}

/** The same, kept on the strip, and on which side it would have left it. */
export function placeOnStrip(
  axis: TimeAxis,
  day: number,
): { percent: number; beyond: 'before' | 'after' | null } {
  const percent = placeOf(axis, day);
  if (percent < 1.5) return { percent: 1.5, beyond: percent < 0 ? 'before' : null };
  if (percent > 98.5) return { percent: 98.5, beyond: percent > 100 ? 'after' : null };
  return { percent, beyond: null };
}

/** Every Monday on the strip, and every first of a month. */
export function rulesOf({ first, last }: TimeAxis): { mondays: number[]; firsts: number[] } {
  const days = Array.from({ length: last - first + 1 }, (_, index) => first + index);
  return {
    // The first day of 1970 was a Thursday.
    mondays: days.filter((day) => (((day + 3) % 7) + 7) % 7 === 0),
    firsts: days.filter((day) => dateOfDay(day).endsWith('-01')),
  };
}
