import { DAY_MS } from '../due-lines/time-axis.js';

export interface Point {
  /** RFC 3339 */
  at: string;
  value: number;
}

export interface Scale {
  low: number;
  high: number;
  fromMs: number;
  toMs: number;
  /** Where all is of one instant. */
  onlyMs: number | null;
  /** In percent of the drawing's width. */
  x(point: Point): number;
  /** In percent of the drawing's height, from the top. */
  y(value: number): number;
}

const FRAME = { left: 12, right: 98, top: 5, bottom: 86 };

/**
 * Fits values and levels into the frame of a chart; what is never negative stands on a zero line
 * where that is near or asked for.
 */
export function chartScale(points: readonly Point[], levels: readonly number[], fromZero = false): Scale {
  const values = [...points.map(({ value }) => value), ...levels];
  const moments = points.map(({ at }) => Date.parse(at));
  const least = Math.min(...values);
  const most = Math.max(...values);
  // One value alone stands in the middle of a tenth of it to either side; none lies on the edge.
  const margin = most > least ? (most - least) / 16 : Math.abs(least) / 10 || 1;
  const low = least >= 0 && (fromZero || least < (most - least) * 2) ? 0 : least - margin;
  const high = most + margin;
  const earliest = Math.min(...moments);
  const latest = Math.max(...moments);
  const onlyMs = earliest === latest ? earliest : null;
  const fromMs = onlyMs === null ? earliest : onlyMs - DAY_MS / 2;
  const toMs = onlyMs === null ? latest : onlyMs + DAY_MS / 2;
  return {
    low,
    high,
    fromMs,
    toMs,
    onlyMs,
    x: ({ at }) => FRAME.left + ((Date.parse(at) - fromMs) / (toMs - fromMs)) * (FRAME.right - FRAME.left),
    y: (value) => FRAME.bottom - ((value - low) / (high - low)) * (FRAME.bottom - FRAME.top),
  };
}

/** From a point on to a later moment, at a rate a day; nothing where that moment is no later. */
export function aheadOf(last: Point, ratePerDay: number, untilMs: number): Point[] {
  const days = (untilMs - Date.parse(last.at)) / DAY_MS;
  if (days <= 0) return [];
  return [last, { at: new Date(untilMs).toISOString(), value: last.value + ratePerDay * days }];
}

/** Round numbers from low to high, two to six of them: steps of 1, 2 or 5 times a power of ten. */
export function ticksOf(low: number, high: number): number[] {
  const rough = (high - low) / 4;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((times) => times * power).find((size) => size >= rough) ?? 10 * power;
  const firstTick = Math.ceil(low / step);
  const count = Math.floor(high / step) - firstTick + 1;
  return Array.from({ length: Math.max(0, count) }, (_, index) => (firstTick + index) * step);
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
