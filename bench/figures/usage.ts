import type pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { addFleets, addVehicles, type BenchFleet, copyPlanAndSheet } from '../build-fleets.js';
import { connect, filling } from '../database.js';
import { atLeast, atMost, type Figure, median, ms, perSecond } from '../figure.js';
import { atOnce, call } from '../post.js';
import { spentEach, spentSoFar } from '../processor.js';
import type { Stage } from '../stage.js';

const VEHICLES = 4000;
const BATCH = 1000;
/**
 * One every six days for a year: 30 in the 180 days used for rates, and 30 before.
 */
const READINGS = 60;
const DAYS_BETWEEN = 6;
/** Rounds in which each vehicle gets its next reading. */
const WARM_UP = 2;
const ROUNDS = 4;
const AT_ONCE = 2;
const MS_PER_DAY = 86_400_000;

interface Reading {
  vehicleId: string;
  readAt: string;
  odometer: { value: number; unit: string };
}

/**
 * Adds vehicles with a year of stored readings. The first batches draw the conclusions from them.
 */
async function addUsage(admin: pg.Client, fleetId: string): Promise<void> {
  await filling(admin, async () => {
    await admin.query(
      `insert into usage_readings (fleet_id, id, vehicle_id, read_at, odometer_km, source, odometer_unit, status, odometer_lifetime_km)
       select fleet_id, gen_random_uuid(), id, date_trunc('day', now()) - make_interval(days => 20 + ($2::int - n) * $3::int) + interval '18 hours',
         km.value, 'telematics', 'km', 'accepted', km.value
       from vehicles cross join generate_series(1, $2::int) n
       cross join lateral (select 20000 + n * $3::int * (40 + abs(hashtext(id::text)) % 60) + abs(hashtext(id::text || n)) % 40 as value) km
       where fleet_id = $1`,
      [fleetId, READINGS, DAYS_BETWEEN],
    );
  });
  await admin.query('vacuum analyze usage_readings');
}

/** Returns the next reading of every vehicle, in batches. */
async function batchesOf(admin: pg.Client, fleetId: string, round: number): Promise<Reading[][]> {
  const { rows } = await admin.query<{ id: string; read_at: Date; km: number }>(
    `select v.id, r.read_at, r.odometer_km as km, 40 + abs(hashtext(v.id::text)) % 60 as per_day from vehicles v
     cross join lateral (select read_at, odometer_km from usage_readings u where u.fleet_id = v.fleet_id and u.vehicle_id = v.id order by read_at desc limit 1) r
     where v.fleet_id = $1 order by md5(v.id::text || $2)`,
    [fleetId, String(round)],
  );
  const readings = rows.map(({ id, read_at: readAt, km }) => ({
    vehicleId: id,
    readAt: new Date(readAt.getTime() + 2 * MS_PER_DAY).toISOString(),
    odometer: { value: km + 60 + Math.floor(Math.random() * 40), unit: 'km' },
  }));
  return Array.from({ length: readings.length / BATCH }, (_, n) =>
    readings.slice(n * BATCH, (n + 1) * BATCH),
  );
}

/**
 * The theoretical limit: the same rows in the same table with the same indexes, and no conclusions.
 */
async function bareInserts(
  databaseUrl: string,
  admin: pg.Client,
  fleetId: string,
  rounds: number,
): Promise<number> {
  await admin.query('create table bare_readings (like usage_readings including all)');
  await admin.query('insert into bare_readings select * from usage_readings');
  await admin.query('vacuum analyze bare_readings');
  const clients = await Promise.all(Array.from({ length: AT_ONCE }, () => connect(databaseUrl)));
  let seconds = 0;
  for (let round = 0; round < rounds; round++) {
    const batches = (await batchesOf(admin, fleetId, round)).map((readings) => ({ readings, day: round }));
    const began = performance.now();
    await atOnce(AT_ONCE, batches, async ({ readings, day }) => {
      const client = clients.pop() as pg.Client;
      await client.query({
        name: 'bare',
        text: `insert into bare_readings (fleet_id, id, vehicle_id, read_at, odometer_km, odometer_replaced, engine_hours_replaced, source, odometer_unit, status, odometer_lifetime_km)
          select $1, r.id, r.vehicle_id, r.read_at, r.km, false, false, 'telematics', 'km', 'accepted', r.km
          from unnest($2::uuid[], $3::uuid[], $4::timestamptz[], $5::float8[]) as r(id, vehicle_id, read_at, km)`,
        values: [
          fleetId,
          readings.map(() => uuidv7()),
          readings.map(({ vehicleId }) => vehicleId),
          readings.map(({ readAt }) => new Date(Date.parse(readAt) + day * MS_PER_DAY)),
          readings.map(({ odometer }) => odometer.value),
        ],
      });
      clients.push(client);
    });
    seconds += (performance.now() - began) / 1000;
  }
  await Promise.all(clients.map((client) => client.end()));
  await admin.query('drop table bare_readings');
  return (rounds * VEHICLES) / seconds;
}

/** Posts batches of usage readings over HTTP; all conclusions are drawn before the response. */
export async function usageFigures(stage: Stage): Promise<Figure[]> {
  const { admin, databaseUrl, service, fleets } = stage.main;
  const [model] = fleets as [BenchFleet];
  const [fleet] = (await addFleets(admin, 1)) as [BenchFleet];
  await copyPlanAndSheet(admin, model, [fleet]);
  await addVehicles(admin, [fleet], VEHICLES);
  await addUsage(admin, fleet.id);

  const post = async (readings: Reading[]): Promise<void> => {
    const answer = await call<{ accepted: number }>(
      service.url,
      fleet.tokens.mechanic,
      '/v1/usage-readings',
      { readings },
    );
    if (answer.accepted !== BATCH) throw new Error(`${answer.accepted} of ${BATCH} readings were accepted`);
  };
  for (let round = 0; round < WARM_UP; round++)
    await atOnce(AT_ONCE, await batchesOf(admin, fleet.id, round), post);
  await admin.query('vacuum analyze usage_readings, usage_summaries, due_lines');

  const rates: number[] = [];
  const took: number[] = [];
  const blocks: number[] = [];
  const before = await spentSoFar(service, admin);
  for (let round = 0; round < ROUNDS; round++) {
    const batches = await batchesOf(admin, fleet.id, round);
    await service.process.ask('longestBlock');
    const began = performance.now();
    took.push(...(await atOnce(AT_ONCE, batches, post)));
    rates.push((VEHICLES / (performance.now() - began)) * 1000);
    blocks.push(await service.process.ask<number>('longestBlock'));
  }
  const spent = spentEach(before, await spentSoFar(service, admin), ROUNDS * VEHICLES);
  const bare = await bareInserts(databaseUrl, admin, fleet.id, ROUNDS);
  const rate = median(rates);
  return [
    atLeast(
      'usage-readings-per-second',
      rate,
      5000,
      `batches of ${BATCH} from distinct vehicles, ${ms(median(took))} each with ${AT_ONCE} under way; ${spent}`,
    ),
    atLeast(
      'usage-beside-bare-insert',
      rate / bare,
      0.25,
      `${perSecond(rate)} beside ${perSecond(bare)} that are stored and no more`,
    ),
    atMost(
      'usage-event-loop-blocked-ms',
      Math.max(...blocks),
      50,
      `the longest in each round: ${blocks.map((block) => ms(block)).join(', ')}`,
    ),
  ];
}
