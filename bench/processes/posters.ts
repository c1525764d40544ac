import { answering } from '../child.js';
import { load } from '../load.js';

/** Clients that post usage readings of a few vehicles, in a process of their own. */
const url = process.env.BENCH_URL ?? '';
const vehicleIds = (process.env.BENCH_VEHICLES ?? '').split(',');

const MS_PER_HOUR = 3_600_000;
/**
 * Each vehicle in turn gets a reading every eight hours. The first is so long ago that all are in
 * the past.
 */
const HOURS_BETWEEN = 8;
const KM_BETWEEN = 20;
const BEGINNING = Date.now() - 15 * 365 * 24 * MS_PER_HOUR;
let posted = 0;

answering({
  /** Posts as fast as this many connections can. @returns posts per second */
  post: async ({ connections, seconds }: { connections: number; seconds: number }) => {
    const { perSecond } = await load(
      {
        url: `${url}/v1/usage-readings`,
        connections,
        status: 200,
        request: () => {
          posted++;
          const reading = {
            vehicleId: vehicleIds[posted % vehicleIds.length],
            readAt: new Date(BEGINNING + posted * HOURS_BETWEEN * MS_PER_HOUR).toISOString(),
            odometer: { value: 1000 + posted * KM_BETWEEN, unit: 'km' },
          };
          return {
            method: 'POST',
            headers: {
              authorization: `Bearer ${process.env.BENCH_TOKEN}`,
              'content-type': 'application/json',
            },
            body: JSON.stringify({ readings: [reading] }),
          };
        },
      },
      { seconds },
    );
    return perSecond;
  },
});
