import { tell } from '../../../kit/texts/tell.js';
import type { LossTrend, SpecSheet } from '../types.js';
import { message } from '../words/messages.js';
import { inCircuit } from '../words/words.js';
import { Chart, type ChartContent, type Manner } from './chart.js';

type Name = LossTrend['series'][number]['name'];
type Coolant = SpecSheet['coolant'];

interface Plan {
  title: string;
  lines: readonly (readonly [name: Name, said: string, manner: Manner])[];
  /** What the first line's limit is, where it is a level. */
  level?: string;
}

/** Which lines are drawn together. */
const plans = (): Plan[] => {
  const measured = tell(message('desk-chart-measured'));
  const alertAbove = tell(message('desk-chart-alert-line'));
  const allowed = tell(message('desk-chart-allowed'));
  const rates = (['vacuum', 'pressure'] as const).map((method) => ({
    title: tell(message(`desk-chart-${method}-loss`)),
    lines: [
      [`${method}-hold-rate`, measured, 'measured'],
      [`${method}-hold-rate-allowed`, allowed, 'limit'],
    ] as const,
  }));
  return [
    {
      title: tell(message('desk-chart-lost')),
      lines: [['cumulative-loss', tell(message('desk-chart-lost-in-all')), 'measured']],
    },
    {
      title: tell(message('desk-chart-loss-by-distance')),
      lines: [['loss-rate', measured, 'measured']],
      level: tell(message('desk-chart-usual-loss')),
    },
    {
      title: tell(message('desk-chart-leak-indicator')),
      lines: [
        ['cusum', measured, 'measured'],
        ['cusum-limit', alertAbove, 'limit'],
      ],
    },
    {
      title: tell(message('desk-chart-departure')),
      lines: [
        ['departure', tell(message('desk-chart-departure-in')), 'measured'],
        ['departure-limit', alertAbove, 'limit'],
      ],
    },
    {
      title: tell(message('desk-chart-strength')),
      lines: [
        ['strength', measured, 'measured'],
        ['expected-strength', tell(message('desk-chart-expected-strength')), 'expected'],
      ],
    },
    ...rates,
  ];
};

/** What the sheet asks of the coolant's strength, in percent by volume. */
function strengthLevels(coolant: Coolant | null): ChartContent['levels'] {
  const { targetStrengthPercent = null, strengthMax = null } = coolant ?? {};
  return [
    ...(targetStrengthPercent === null
      ? []
      : [{ name: tell(message('desk-chart-target-strength')), value: targetStrengthPercent }]),
    ...(strengthMax === null ? [] : [{ name: tell(message('desk-chart-strength-max')), value: strengthMax }]),
  ];
}

function contentOf(
  { title, lines, level }: Plan,
  { circuit, series }: LossTrend,
  coolant: Coolant | null,
): Omit<ChartContent, 'timeZone'> | null {
  const byName = new Map(series.map((one) => [one.name, one]));
  const [first] = lines.flatMap(([name]) => byName.get(name) ?? []);
  if (first === undefined || lines.every(([name]) => (byName.get(name)?.points.length ?? 0) === 0))
    return null;
  const usual = level === undefined || first.limit === null ? [] : [{ name: level, value: first.limit }];
  return {
    ...{ title: inCircuit(title, circuit), unit: first.unit },
    lines: lines.map(([name, said, manner]) => ({
      ...{ name: said, manner },
      points: byName.get(name)?.points ?? [],
    })),
    levels: first.name === 'strength' ? strengthLevels(coolant) : usual,
  };
}

/** What is known of the loss and strength of a circuit, each with its limits. */
export function LossCharts({
  trend,
  coolant,
  timeZone,
}: {
  trend: LossTrend;
  coolant: Coolant | null;
  timeZone: string;
}) {
  return (
    <>
      {plans().map((plan) => {
        const content = contentOf(plan, trend, coolant);
        return content && <Chart key={plan.title} {...content} timeZone={timeZone} />;
      })}
    </>
  );
}
