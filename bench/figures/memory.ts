import type { BenchFleet } from '../build-fleets.js';
import { atMost, type Figure } from '../figure.js';
import { load } from '../load.js';
import { type Stage, startService } from '../stage.js';

const REQUESTS = 100_000;
const CONNECTIONS = 10;
/** Maximum memory, as a multiple of that used half-way. More would mean growth without end. */
const FLAT = 1.15;

/** Memory of a fresh API after many requests: lists in every form, over all fleets. */
export async function memoryFigures({ main: { databaseUrl, fleets } }: Stage): Promise<Figure[]> {
  const service = await startService(databaseUrl);
  try {
    const paths = [
      '/v1/due-list',
      '/v1/due-list/summary',
      '/v1/due-list?state=late&limit=10',
      '/v1/due-list?component=coolant',
      '/v1/vehicles?limit=10',
      '/v1/depots',
      '/v1/loss-alerts',
    ];
    let asked = 0;
    const request = () => {
      const n = asked++;
      const fleet = fleets[Math.floor(n / paths.length) % fleets.length] as BenchFleet;
      // Request each list repeatedly, and also in forms that were never requested before.
      const day = new Date(Date.UTC(2030, 0, 1) + (n % 5000) * 86_400_000).toISOString().slice(0, 10);
      const path =
        n % 3 === 0 ? `/v1/due-list?limit=20&dueBefore=${day}` : (paths[n % paths.length] as string);
      return { path, headers: { authorization: `Bearer ${fleet.tokens.dashboard}` } };
    };
    const half = async (): Promise<number> => {
      await load(
        { url: service.url, connections: CONNECTIONS, request, status: 200 },
        { amount: REQUESTS / 2 },
      );
      return service.process.ask<number>('memory');
    };
    const halfWay = await half();
    const atEnd = await half();
    const mib = (bytes: number) => Math.round(bytes / 2 ** 20);
    return [
      atMost('api-memory-mib', atEnd / 2 ** 20, 250, `after ${REQUESTS.toLocaleString('en')} requests`),
      atMost(
        'api-memory-growth',
        atEnd / halfWay,
        FLAT,
        `${mib(halfWay)} MiB after half of them, ${mib(atEnd)} MiB after all`,
      ),
    ];
  } finally {
    await service.process.stop();
  }
}
