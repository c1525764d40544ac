import { addFleets, addVehicles, copyPlanAndSheet } from '../build-fleets.js';
import { startChild } from '../child.js';
import { filling } from '../database.js';
import { atMost, type Figure } from '../figure.js';
import { newGround, type Stage } from '../stage.js';

const MOST_VEHICLES = 8000;
const READINGS = 30;
const MILLION = 1_000_000;

interface Rebuilt {
  vehicles: number;
  differences: number;
  seconds: number;
  mostBytes: number;
}

/**
 * Rebuilds the conclusions about vehicles that have readings of the last months and no conclusions
 * yet. Rebuilds twice and times the second run, which finds everything as it should be.
 */
export async function rebuildFigures({ server, options }: Stage): Promise<Figure[]> {
  const many = Math.min(options.vehicles, MOST_VEHICLES);
  const few = many / 4;
  const ground = await newGround(server, 'rebuild', 1, few);
  const rebuilder = startChild('rebuild', { BENCH_DATABASE_URL: ground.databaseUrl });
  const { admin, fleets } = ground;
  const addReadings = (): Promise<unknown> =>
    filling(admin, () =>
      admin.query(
        `insert into usage_readings (fleet_id, id, vehicle_id, read_at, odometer_km, source, odometer_unit, status)
         select v.fleet_id, gen_random_uuid(), v.id, date_trunc('day', now()) - make_interval(days => ($1::int - n) * 5) - interval '9 hours',
           20000 + n * 5 * (40 + abs(hashtext(v.id::text)) % 60) + abs(hashtext(v.id::text || n)) % 40, 'telematics', 'km', 'held'
         from vehicles v cross join generate_series(1, $1::int) n
         where not exists (select from usage_readings u where u.fleet_id = v.fleet_id and u.vehicle_id = v.id)`,
        [READINGS],
      ),
    );
  const rebuild = async (): Promise<Rebuilt> => {
    await admin.query('vacuum analyze');
    return rebuilder.ask<Rebuilt>('rebuild');
  };
  try {
    await addReadings();
    await rebuild();
    const small = await rebuild();
    const more = await addFleets(admin, 3);
    await copyPlanAndSheet(admin, fleets[0] as (typeof fleets)[number], more);
    await addVehicles(admin, more, many - few);
    await addReadings();
    const fresh = await rebuild();
    const large = await rebuild();
    for (const { differences } of [small, large])
      if (differences > 0)
        throw new Error(`a rebuild found ${differences} differences where there can be none`);
    const each = (rebuilt: Rebuilt) => rebuilt.seconds / rebuilt.vehicles;
    return [
      atMost(
        'rebuild-minutes-per-million',
        (each(large) * MILLION) / 60,
        10,
        `${large.vehicles} vehicles with ${READINGS} readings each in ${large.seconds.toFixed(1)} s; ${fresh.seconds.toFixed(1)} s when three quarters were concluded for the first time`,
      ),
      atMost(
        'rebuild-growth',
        each(large) / each(small),
        1.25,
        `${(each(large) * 1000).toFixed(2)} ms a vehicle for ${large.vehicles}, ${(each(small) * 1000).toFixed(2)} ms for ${small.vehicles}`,
      ),
      atMost(
        'rebuild-memory-mib',
        large.mostBytes / 2 ** 20,
        400,
        `at most; ${Math.round(small.mostBytes / 2 ** 20)} MiB for ${small.vehicles} vehicles`,
      ),
    ];
  } finally {
    await rebuilder.stop();
    await ground.close();
  }
}
