import { v7 as uuidv7 } from 'uuid';
import { troublesStatement } from '../../../src/telling/delivery-troubles/delivery-troubles.queries.js';
import { cloneDatabase, type TestDatabase } from '../../support/database.js';
import { costOf } from '../../support/plans.js';

describe('looking for delivery troubles', () => {
  const NOW = new Date('2026-04-02T15:00:00Z');
  const WAITING = 20_000;
  const fleetId = uuidv7();
  let database: TestDatabase;

  beforeAll(async () => {
    database = await cloneDatabase();
    const { admin } = database;
    await admin.query(`insert into fleets (id, name, time_zone, units) values ($1, 'Big', 'UTC', 'si')`, [
      fleetId,
    ]);
    await admin.query(
      `insert into vehicles (fleet_id, id, unit_number, duty, status)
       select $1, gen_random_uuid(), 'V-' || n, 'normal', 'in-use' from generate_series(1, $2) n`,
      [fleetId, WAITING],
    );
    const targetId = uuidv7();
    await admin.query(
      `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest)
       values ($1, $2, 'webhook', 'https://example.org', '{due-line}', '{window,due,late}', 'each')`,
      [fleetId, targetId],
    );
    // All of them wait for their hour, and all vehicles have just been posted.
    await admin.query(
      `insert into reminders (fleet_id, id, target_id, news, subject_id, cycle, status, next_attempt_at, created_at)
       select $1, gen_random_uuid(), $2, 'held-reading', gen_random_uuid(), '', 'waiting', $3::timestamptz + interval '8 hours', $3
       from generate_series(1, $4)`,
      [fleetId, targetId, NOW, WAITING],
    );
    await admin.query('insert into sweep_requests (fleet_id, vehicle_id) select fleet_id, id from vehicles');
    await admin.query('insert into workers (id, seen_at) values (gen_random_uuid(), now())');
    await admin.query('analyze');
  });
  afterAll(() => database.drop());

  it.each(['force_custom_plan', 'force_generic_plan'] as const)(
    'reads a few pages, however large the fleet and its backlog are (%s)',
    async (plan) => {
      const cost = await costOf(database.admin, fleetId, troublesStatement(fleetId, NOW), plan);
      expect([cost.rows, cost.rowsRemoved < 20, cost.buffers < 60]).toEqual([0, true, true]);
    },
  );
});
