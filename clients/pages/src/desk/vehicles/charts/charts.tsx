import type { WeepholeClient } from '../../../../../typescript/src/client.js';
import { Shown } from '../../../kit/parts/loading.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { tell } from '../../../kit/texts/tell.js';
import type { SpecSheet } from '../types.js';
import type { LoadedVehicle } from '../vehicle/load-vehicle.js';
import { Section } from '../vehicle/section.js';
import { message } from '../words/messages.js';
import { LossCharts } from './loss-charts.js';
import { TemperatureChart } from './temperature-chart.js';
import { UsageCharts } from './usage-charts.js';

type Circuit = NonNullable<SpecSheet['otherCircuits']>[number]['circuit'];

/** The trends of each circuit, the first one first, each with its coolant. */
async function trendsOf(client: WeepholeClient, id: string, sheet: SpecSheet | null, signal: AbortSignal) {
  const path = { id };
  const trendOf = async (circuit?: Circuit) => {
    const query = circuit === undefined ? {} : { circuit };
    return (await client.get('/v1/vehicles/{id}/loss-trend', { path, query, signal })).data;
  };
  const others = sheet?.otherCircuits ?? [];
  const [temperature, first, ...rest] = await Promise.all([
    client.get('/v1/vehicles/{id}/coolant-temperature-trend', { path, signal }),
    trendOf(),
    ...others.map(({ circuit }) => trendOf(circuit)),
  ]);
  return {
    temperature: temperature.data,
    losses: [
      { trend: first, coolant: sheet?.coolant ?? null },
      ...rest.map((trend, index) => ({ trend, coolant: others[index]?.coolant ?? null })),
    ],
  };
}

/** How the vehicle got where it is: loss of coolant, its temperature, and use. */
export function Charts({ loaded }: { loaded: LoadedVehicle }) {
  const { vehicle, names, me, usage } = loaded;
  const { timeZone } = me;
  const { state, reload } = useLoaded(
    (client, signal) => trendsOf(client, vehicle.id, names.sheet, signal),
    [loaded],
  );
  return (
    <Section title={tell(message('desk-charts'))}>
      <Shown state={state} again={reload}>
        {({ temperature, losses }) => {
          const hasLoss = losses.some(({ trend }) => trend.series.some(({ points }) => points.length > 0));
          const isEmpty = !hasLoss && temperature.blocks.length === 0 && usage.readings.items.length === 0;
          return isEmpty ? (
            <p>{tell(message('desk-charts-none'))}</p>
          ) : (
            <div class="charts">
              {losses.map(({ trend, coolant }) => (
                <LossCharts key={trend.circuit ?? ''} {...{ trend, coolant, timeZone }} />
              ))}
              <TemperatureChart trend={temperature} timeZone={timeZone} />
              <UsageCharts loaded={loaded} />
            </div>
          );
        }}
      </Shown>
    </Section>
  );
}
