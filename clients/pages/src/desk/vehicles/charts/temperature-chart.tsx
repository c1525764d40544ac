import { tell } from '../../../kit/texts/tell.js';
import type { TemperatureTrend } from '../types.js';
import { message } from '../words/messages.js';
import { quantityInWords } from '../words/words.js';
import { Chart } from './chart.js';

/** How hot the coolant runs, block by block, and whether that rises. Nothing without values. */
export function TemperatureChart({ trend, timeZone }: { trend: TemperatureTrend; timeZone: string }) {
  const { blocks, finding, now, yearBefore } = trend;
  const points = blocks.flatMap(({ until, hotEnd }) =>
    hotEnd?.value === undefined ? [] : [{ at: `${until}T12:00:00Z`, value: hotEnd.value }],
  );
  const unit = blocks.find(({ hotEnd }) => hotEnd?.unit !== undefined)?.hotEnd?.unit;
  if (points.length === 0 || unit === undefined) return null;
  return (
    <div>
      <Chart
        title={tell(message('desk-chart-temperature'))}
        lines={[{ name: tell(message('desk-chart-hot-end')), manner: 'measured', points }]}
        {...{ unit, timeZone }}
      />
      {finding !== null && <p class="fault">{finding.text}</p>}
      {now !== null && yearBefore !== null && (
        <p>
          {tell(
            message('desk-chart-year-before', {
              now: quantityInWords(now),
              before: quantityInWords(yearBefore),
            }),
          )}
        </p>
      )}
    </div>
  );
}
