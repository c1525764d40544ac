import { DAY_MS } from '../../../kit/due/time-axis.js';

export interface Point {
  /** RFC 3339 */
  at: string;
  value: number;
}

/** From a point on to a later moment, at a rate a day; nothing where that moment is no later. */
export function aheadOf(last: Point, ratePerDay: number, untilMs: number): Point[] {
  const days = (untilMs - Date.parse(last.at)) / DAY_MS;
  if (days <= 0) return [];
  return [last, { at: new Date(untilMs).toISOString(), value: last.value + ratePerDay * days }];
}

export interface TableRow {
  at: string;
  /** One for each line; null where that has none. */
  values: (number | null)[];
}

/**
 * The points of several lines as rows, latest first: side by side where they are of one instant,
 * and each in a row of its own where one line has several of it.
 */
export function rowsOf(lines: readonly (readonly Point[])[]): TableRow[] {
  const rows = new Map<string, TableRow>();
  for (const [index, points] of lines.entries()) {
    const seen = new Map<string, number>();
    for (const { at, value } of points) {
      const nth = (seen.get(at) ?? 0) + 1;
      seen.set(at, nth);
      const key = `${at} ${nth}`;
      const row = rows.get(key) ?? { at, values: lines.map(() => null) };
      row.values[index] = value;
      rows.set(key, row);
    }
  }
  // Sorting keeps those of one instant in their order, which turning round would not.
  return [...rows.values()].sort((a, b) => Date.parse(b.at) - Date.parse(a.at));
}
