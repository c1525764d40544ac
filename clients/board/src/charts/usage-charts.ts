import { chartFigure, type Level, type Line } from './chart.js';
import { aheadOf, type Point } from './chart-scale.js';
import { el } from '../dom.js';
import { AHEAD_DAYS, DAY_MS, dayNumber } from '../due-lines/time-axis.js';
import type { DueLine, DueList, Quantity, Usage, Vehicle } from '../types.js';
import { tell } from '../language.js';
import { workInWords } from '../words.js';

type Counter = 'odometer' | 'engineHours';
type Daily = Pick<NonNullable<Usage['dailyDistance']>, 'value' | 'low' | 'high'>;

/**
 * The latest readings of the counters that it has, where its use takes them, and where it comes due
 * by them next.
 */
export function usageCharts(
  { status }: Vehicle,
  usage: Usage,
  { asOf, items: lines }: Pick<DueList, 'asOf' | 'items'>,
  timeZone: string,
): HTMLElement[] {
  const believed = usage.readings.items.filter((reading) => reading.status === 'accepted').reverse();
  const charts = (['odometer', 'engineHours'] as const).flatMap((counter) => {
    const read = believed.flatMap(({ readAt, [counter]: quantity }) =>
      quantity?.value === undefined
        ? []
        : [{ at: readAt, value: quantity.value, unit: String(quantity.unit) }],
    );
    const last = read.at(-1);
    if (last === undefined) return [];
    const daily = counter === 'odometer' ? usage.dailyDistance : usage.dailyEngineHours;
    const untilMs = (dayNumber(asOf) + AHEAD_DAYS) * DAY_MS;
    // What rests is not used, whatever it was used before.
    const ahead = daily === null || status !== 'in-use' ? [] : projected(last, daily, untilMs);
    const top = Math.max(...[...read, ...ahead.flatMap(({ points }) => points)].map(({ value }) => value));
    return [
      chartFigure({
        ...{
          title: tell(counter === 'odometer' ? 'board-chart-odometer' : 'board-chart-engine-hours'),
          unit: last.unit,
          timeZone,
        },
        lines: [{ name: tell('board-as-read'), manner: 'measured', points: read }, ...ahead],
        levels: nextDue(lines, counter).filter(({ value }) => value <= top),
      }),
    ];
  });
  return charts.length === 0
    ? [el('p', {}, tell('board-no-usage'))]
    : [el('div', { class: 'charts' }, ...charts)];
}

/** Straight on from the last reading by what it is used a day, and by the limits of that. */
function projected(last: Point, { value, low, high }: Daily, untilMs: number): Line[] {
  const by = (rate: number): Point[] => aheadOf(last, rate, untilMs);
  return [
    { name: tell('board-forecast'), manner: 'expected', points: by(value) },
    { name: tell('board-forecast-lowest'), manner: 'limit', points: by(low) },
    { name: tell('board-forecast-highest'), manner: 'limit', points: by(high) },
  ];
}

/** The least count at which one of its lines comes due. */
function nextDue(lines: readonly DueLine[], counter: Counter): Level[] {
  const [next] = lines
    .flatMap((line) => {
      const due = line.dueAt[counter] as Quantity;
      return due?.value === undefined
        ? []
        : [{ name: tell('board-level-due', { work: workInWords(line) }), value: due.value }];
    })
    .sort((a, b) => a.value - b.value);
  return next === undefined ? [] : [next];
}
