import { chartFigure, type Level, type Line } from './chart.js';
import { el } from '../dom.js';
import type { Coolant, LossTrend } from '../types.js';

type Series = LossTrend['series'][number];
type Name = Series['name'];

interface Plan {
  title: string;
  lines: [Name, string, Line['manner']][];
  /** What the first series' limit is, where it is a level. */
  level?: string;
  /** Strength is far from none, and a departure may go either way. */
  fromZero?: false;
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
    fromZero: false,
    lines: [
      ['strength', 'measured', 'measured'],
      ['expected-strength', 'expected by the recorded top-ups', 'expected'],
    ],
  },
  {
    title: 'Loss a minute in vacuum hold tests',
    lines: [
      ['vacuum-hold-rate', 'measured', 'measured'],
      ['vacuum-hold-rate-allowed', 'allowed', 'limit'],
    ],
  },
  {
    title: 'Loss a minute in pressure hold tests',
    lines: [
      ['pressure-hold-rate', 'measured', 'measured'],
      ['pressure-hold-rate-allowed', 'allowed', 'limit'],
    ],
  },
];

/**
 * What is known of a vehicle's loss and strength, each with its limits; what has no point yet is
 * named in one sentence.
 */
export function lossCharts({ series }: LossTrend, coolant: Coolant | null, timeZone: string): HTMLElement[] {
  const byName = new Map(series.map((one) => [one.name, one]));
  const drawn: HTMLElement[] = [];
  const empty: string[] = [];
  for (const { title, lines, level, fromZero = true } of PLANS) {
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
        levels:
          first.name === 'strength'
            ? strengthLevels(coolant)
            : level === undefined || first.limit === null
              ? []
              : [{ name: level, value: first.limit }],
        fromZero,
      }),
    );
  }
  return [
    el('div', { class: 'charts' }, ...drawn),
    ...(empty.length === 0 ? [] : [el('p', {}, `Nothing to draw yet: ${empty.join('; ')}.`)]),
  ];
}

/** What the spec sheet asks of the coolant's strength, in percent by volume. */
function strengthLevels(coolant: Coolant | null): Level[] {
  const { targetStrengthPercent = null, strengthMax = null } = coolant ?? {};
  return [
    ...(targetStrengthPercent === null
      ? []
      : [{ name: 'target of its spec sheet', value: targetStrengthPercent }]),
    ...(strengthMax === null ? [] : [{ name: 'greatest that its spec sheet allows', value: strengthMax }]),
  ];
}
