import { chartFigure, type Line } from './chart.js';
import { el } from './dom.js';
import type { LossTrend, Usage } from './types.js';

type Series = LossTrend['series'][number];
type Name = Series['name'];

interface Plan {
  title: string;
  lines: [Name, string, Line['manner']][];
  /** What the first series' limit is, where it is a level. */
  level?: string;
}

/** Which series are drawn together. */
const PLANS: Plan[] = [
  { title: 'Coolant lost, as far as known', lines: [['cumulative-loss', 'lost in all', 'measured']] },
  { title: 'Loss by distance', lines: [['loss-rate', 'loss', 'measured']], level: 'usual for its kind' },
  {
    title: 'Sum by which a rising loss is found',
    lines: [
      ['cusum', 'sum, in standard deviations', 'measured'],
      ['cusum-limit', 'limit, above which an alert is raised', 'limit'],
    ],
  },
  {
    title: 'How far each level lay off its usual line',
    lines: [
      ['departure', 'departure, in standard deviations', 'measured'],
      ['departure-limit', 'limit, above which an alert is raised', 'limit'],
    ],
  },
  {
    title: 'Coolant strength by volume',
    lines: [
      ['strength', 'measured', 'measured'],
      ['expected-strength', 'expected by the recorded top-ups', 'expected'],
    ],
  },
  {
    title: 'Vacuum hold tests: loss a minute',
    lines: [
      ['vacuum-hold-rate', 'measured', 'measured'],
      ['vacuum-hold-rate-allowed', 'allowed', 'limit'],
    ],
  },
  {
    title: 'Pressure hold tests: loss a minute',
    lines: [
      ['pressure-hold-rate', 'measured', 'measured'],
      ['pressure-hold-rate-allowed', 'allowed', 'limit'],
    ],
  },
];

/** What is known of a vehicle's loss and strength, each with its limits; what has no point yet is named in one sentence. */
export function lossCharts({ series }: LossTrend, timeZone: string): HTMLElement[] {
  const byName = new Map(series.map((one) => [one.name, one]));
  const drawn: HTMLElement[] = [];
  const empty: string[] = [];
  for (const { title, lines, level } of PLANS) {
    const [first] = lines.flatMap(([name]) => byName.get(name) ?? []);
    if (first === undefined || lines.every(([name]) => byName.get(name)?.points.length === 0)) {
      empty.push(title.toLowerCase());
      continue;
    }
    drawn.push(
      chartFigure({
        ...{ title, unit: first.unit, timeZone },
        lines: lines.map(([name, said, manner]) => ({
          ...{ name: said, manner },
          points: byName.get(name)?.points ?? [],
        })),
        level: level === undefined || first.limit === null ? null : { name: level, value: first.limit },
      }),
    );
  }
  return [
    el('div', { class: 'charts' }, ...drawn),
    ...(empty.length === 0 ? [] : [el('p', {}, `Nothing to draw yet: ${empty.join('; ')}.`)]),
  ];
}

/** The latest readings of the counters that it has. */
export function usageCharts({ readings }: Usage, timeZone: string): HTMLElement[] {
  const believed = readings.items.filter(({ status }) => status === 'accepted').reverse();
  const charts = (['odometer', 'engineHours'] as const).flatMap((counter) => {
    const read = believed.flatMap(({ readAt, [counter]: quantity }) =>
      quantity?.value === undefined
        ? []
        : [{ at: readAt, value: quantity.value, unit: String(quantity.unit) }],
    );
    const title = counter === 'odometer' ? 'Odometer' : 'Engine hours';
    const [first] = read;
    return first === undefined
      ? []
      : [
          chartFigure({
            ...{ title, unit: first.unit, timeZone },
            lines: [{ name: 'as read', manner: 'measured', points: read }],
          }),
        ];
  });
  return charts.length === 0
    ? [el('p', {}, 'No usage reading is on record.')]
    : [el('div', { class: 'charts' }, ...charts)];
}
