import { chartFigure, type Level, type Line } from './chart.js';
import { el } from '../dom.js';
import type { PlainCode } from '../codes.js';
import { tell } from '../language.js';
import type { Coolant, LossTrend } from '../types.js';
import { inCircuit } from '../words.js';

type Series = LossTrend['series'][number];
type Name = Series['name'];

interface Plan {
  title: PlainCode;
  lines: [Name, PlainCode, Line['manner']][];
  /** What the first series' limit is, where it is a level. */
  level?: PlainCode;
  /** Strength is far from none, and a departure may go either way. */
  fromZero?: false;
}

/** Which series are drawn together. */
const PLANS: Plan[] = [
  { title: 'board-chart-lost', lines: [['cumulative-loss', 'board-lost-in-all', 'measured']] },
  {
    title: 'board-chart-loss-by-distance',
    lines: [['loss-rate', 'board-loss', 'measured']],
    level: 'board-usual-loss',
  },
  {
    title: 'board-chart-leak-indicator',
    lines: [
      ['cusum', 'board-leak-indicator', 'measured'],
      ['cusum-limit', 'board-alert-line', 'limit'],
    ],
  },
  {
    title: 'board-chart-departure',
    lines: [
      ['departure', 'board-departure', 'measured'],
      ['departure-limit', 'board-alert-line', 'limit'],
    ],
  },
  {
    title: 'board-chart-strength',
    fromZero: false,
    lines: [
      ['strength', 'board-measured', 'measured'],
      ['expected-strength', 'board-expected-strength', 'expected'],
    ],
  },
  {
    title: 'board-chart-vacuum-loss',
    lines: [
      ['vacuum-hold-rate', 'board-measured', 'measured'],
      ['vacuum-hold-rate-allowed', 'board-allowed', 'limit'],
    ],
  },
  {
    title: 'board-chart-pressure-loss',
    lines: [
      ['pressure-hold-rate', 'board-measured', 'measured'],
      ['pressure-hold-rate-allowed', 'board-allowed', 'limit'],
    ],
  },
];

/**
 * What is known of a vehicle's loss and strength, each with its limits; then a list of what has no
 * point yet.
 */
export function lossCharts(
  { circuit, series }: LossTrend,
  coolant: Coolant | null,
  timeZone: string,
): HTMLElement[] {
  const byName = new Map(series.map((one) => [one.name, one]));
  const drawn: HTMLElement[] = [];
  const empty: string[] = [];
  for (const { title, lines, level, fromZero = true } of PLANS) {
    const [first] = lines.flatMap(([name]) => byName.get(name) ?? []);
    if (first === undefined || lines.every(([name]) => byName.get(name)?.points.length === 0)) {
      empty.push(tell(title));
      continue;
    }
    drawn.push(
      chartFigure({
        ...{ title: inCircuit(tell(title), circuit), unit: first.unit, timeZone },
        lines: lines.map(([name, said, manner]) => ({
          ...{ name: tell(said), manner },
          points: byName.get(name)?.points ?? [],
        })),
        levels:
          first.name === 'strength'
            ? strengthLevels(coolant)
            : level === undefined || first.limit === null
              ? []
              : [{ name: tell(level), value: first.limit }],
        fromZero,
      }),
    );
  }
  return [
    el('div', { class: 'charts' }, ...drawn),
    ...(empty.length === 0
      ? []
      : [
          el('p', {}, tell('board-nothing-to-draw')),
          el('ul', { class: 'dots' }, ...empty.map((title) => el('li', {}, title))),
        ]),
  ];
}

/** What the spec sheet asks of the coolant's strength, in percent by volume. */
function strengthLevels(coolant: Coolant | null): Level[] {
  const { targetStrengthPercent = null, strengthMax = null } = coolant ?? {};
  return [
    ...(targetStrengthPercent === null
      ? []
      : [{ name: tell('board-target-strength'), value: targetStrengthPercent }]),
    ...(strengthMax === null ? [] : [{ name: tell('board-strength-max'), value: strengthMax }]),
  ];
}
