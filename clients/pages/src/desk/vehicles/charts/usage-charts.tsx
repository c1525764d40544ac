import { workInWords } from '../../../kit/due/due-line.js';
import { AHEAD_DAYS, DAY_MS, dayNumber } from '../../../kit/due/time-axis.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Usage } from '../types.js';
import type { LoadedVehicle } from '../vehicle/load-vehicle.js';
import { message } from '../words/messages.js';
import { Chart, type ChartContent } from './chart.js';
import { aheadOf } from './points.js';

type Counter = 'odometer' | 'engineHours';
type Due = LoadedVehicle['due'];

/** The least count at which work comes due by a counter. */
function nextDue({ items }: Due, counter: Counter): { name: string; value: number }[] {
  const due = items.flatMap((line) => {
    const at = line.dueAt[counter];
    return at?.value === undefined
      ? []
      : [{ name: tell(message('desk-chart-due', { work: workInWords(line) })), value: at.value }];
  });
  due.sort((a, b) => a.value - b.value);
  return due.slice(0, 1);
}

function contentOf(
  counter: Counter,
  { vehicle, usage, due }: LoadedVehicle,
): Omit<ChartContent, 'timeZone'> | null {
  const read = believed(usage, counter);
  const last = read.at(-1);
  if (last === undefined) return null;
  const daily = counter === 'odometer' ? usage.dailyDistance : usage.dailyEngineHours;
  const untilMs = (dayNumber(due.asOf) + AHEAD_DAYS) * DAY_MS;
  // What rests is not used, whatever it was used before.
  const rates = daily === null || vehicle.status !== 'in-use' ? null : daily;
  const ahead = (rate: number | undefined) => (rate === undefined ? [] : aheadOf(last, rate, untilMs));
  const [expected, lowest, highest] = [ahead(rates?.value), ahead(rates?.low), ahead(rates?.high)];
  const top = Math.max(...[...read, ...highest].map(({ value }) => value));
  return {
    title: tell(message(counter === 'odometer' ? 'desk-chart-odometer' : 'desk-chart-engine-hours')),
    unit: last.unit,
    lines: [
      { name: tell(message('desk-chart-as-read')), manner: 'measured', points: read },
      { name: tell(message('desk-chart-forecast')), manner: 'expected', points: expected },
      { name: tell(message('desk-chart-forecast-lowest')), manner: 'limit', points: lowest },
      { name: tell(message('desk-chart-forecast-highest')), manner: 'limit', points: highest },
    ],
    levels: nextDue(due, counter).filter(({ value }) => value <= top),
  };
}

function believed({ readings }: Usage, counter: Counter) {
  return readings.items
    .filter(({ status }) => status === 'accepted')
    .reverse()
    .flatMap(({ readAt, [counter]: quantity }) =>
      quantity?.value === undefined
        ? []
        : [{ at: readAt, value: quantity.value, unit: String(quantity.unit) }],
    );
}

/** The latest readings of each counter, and where its use takes it. */
export function UsageCharts({ loaded }: { loaded: LoadedVehicle }) {
  return (
    <>
      {(['odometer', 'engineHours'] as const).map((counter) => {
        const content = contentOf(counter, loaded);
        return content && <Chart key={counter} {...content} timeZone={loaded.me.timeZone} />;
      })}
    </>
  );
}
