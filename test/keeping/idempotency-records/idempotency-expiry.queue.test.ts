import { v7 as uuidv7 } from 'uuid';
import { IdempotencyPruningService } from '../../../src/keeping/idempotency-records/idempotency-pruning.service.js';
import { removingOldAnswers } from '../../../src/platform/database/idempotency.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { costOf } from '../../support/plans.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';

const BEGINNING = '2026-04-02T15:00:00Z';
const HOUR_DAYS = 1 / 24;

describe('an Idempotency-Key', () => {
  let service: Service;
  let fleet: FleetHandle;
  const key = { 'idempotency-key': 'note-1' };

  beforeAll(async () => {
    service = await startService({ at: BEGINNING, withWorker: true, env: { QUEUE_CHECK_SECONDS: '300' } });
    // The tests say when schedules are set up; the timer would do so in between.
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  beforeEach(async () => {
    service.clock.moveTo(BEGINNING);
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const issue = (name: string): Promise<Answer> =>
    fleet.manager.post('/v1/tokens', { name, role: 'mechanic' }, key);
  const keys = async (): Promise<string[]> =>
    (
      await service.database.admin.query<{ key: string }>(
        'select key from idempotency_records where fleet_id = $1 order by key',
        [fleet.fleetId],
      )
    ).rows.map((row) => row.key);
  const prune = () => service.app.get(IdempotencyPruningService).pruneFleet(fleet.fleetId);

  it('gives the first answer for 24 hours and is new after that, even if nothing was removed yet', async () => {
    const first = await issue('tablet');
    service.clock.moveDays(23 * HOUR_DAYS);
    const second = await issue('tablet');
    expect([second.status, second.body.id]).toEqual([201, first.body.id]);
    expect((await issue('another')).status).toBe(422);
    service.clock.moveDays(2 * HOUR_DAYS);
    expect(await keys()).toEqual(['note-1']);
    const third = await issue('tablet');
    expect(third.status).toBe(201);
    expect(third.body.id).not.toBe(first.body.id);
    // It counts from then on.
    service.clock.moveDays(23 * HOUR_DAYS);
    expect((await issue('tablet')).body.id).toBe(third.body.id);
  });

  it('can be used for another request after 24 hours, and by only one of two at a time', async () => {
    await issue('tablet');
    service.clock.moveDays(25 * HOUR_DAYS);
    const both = await Promise.all([issue('phone'), issue('phone')]);
    const statuses = both.map(({ status }) => status);
    for (const status of statuses) expect([201, 409]).toContain(status);
    expect(statuses).toContain(201);
    const { body } = await fleet.manager.get('/v1/tokens?limit=200');
    expect(body.items.filter((token: any) => token.name === 'phone')).toHaveLength(1);
  });

  it('expires, but the id in the body does not: a report that waited for days is stored once', async () => {
    const { vehicleId } = await postScenario(fleet);
    const report = { ...goodJob(vehicleId, '2026-03-03T10:00:00Z', 9010), id: uuidv7() };
    const post = () => fleet.mechanic.post('/v1/job-reports', report, key);
    expect((await post()).status).toBe(201);
    service.clock.moveDays(3);
    await prune();
    expect((await post()).status).toBe(200);
    expect((await fleet.mechanic.get('/v1/job-reports')).body.items).toHaveLength(1);
  });

  it('is removed by the worker when it has expired, one fleet at a time, and not before', async () => {
    const other = await service.newFleet();
    await other.manager.post('/v1/depots', { name: 'Ridge' }, { 'idempotency-key': 'theirs' });
    await issue('tablet');
    service.clock.moveDays(23 * HOUR_DAYS);
    await fleet.manager.post('/v1/depots', { name: 'Ridge' }, { 'idempotency-key': 'later' });
    await prune();
    expect(await keys()).toEqual(['later', 'note-1']);
    service.clock.moveDays(2 * HOUR_DAYS);
    await service.app
      .get(WorkQueue)
      .add('work', [{ name: 'prune-idempotency-records', data: { fleetId: fleet.fleetId } }]);
    await until(async () => (await keys()).length < 2);
    expect(await keys()).toEqual(['later']);
    const { rows } = await service.database.admin.query(
      'select key from idempotency_records where fleet_id = $1',
      [other.fleetId],
    );
    expect(rows).toEqual([{ key: 'theirs' }]);
  });

  it('is removed in batches, by an index, until none is left', async () => {
    const { admin } = service.database;
    await admin.query(
      `insert into idempotency_records (fleet_id, operation, key, request_hash, status, created_at)
       select $1, 'POST /v1/depots', 'key ' || n, '\\x01', 201, $2::timestamptz + n * interval '20 seconds' from generate_series(1, 8000) n`,
      [fleet.fleetId, BEGINNING],
    );
    await admin.query('analyze idempotency_records');
    // 25 hours later the first 180 of them, an hour's worth, are over.
    service.clock.moveDays(25 * HOUR_DAYS);
    const statement = removingOldAnswers(fleet.fleetId, service.clock.now(), 100);
    const cost = await costOf(admin, fleet.fleetId, statement, 'force_custom_plan');
    expect([cost.seqScans, cost.text]).toEqual([[], expect.stringContaining('idempotency_records_age_ix')]);
    expect(cost.rowsRemoved).toBeLessThan(100);
    await prune();
    expect(await keys()).toHaveLength(7820);
    service.clock.moveDays(20 * HOUR_DAYS);
    await prune();
    expect(await keys()).toHaveLength(8000 - (21 * 3600) / 20);
  });

  it('is checked once an hour, in every fleet', async () => {
    await service.app.get(FleetSchedule).scheduleMornings();
    const schedulers = await service.app.get(WorkQueue).queue('work').getJobSchedulers(0, -1);
    const own = schedulers.find(({ key: id }) => id === `idempotency_${fleet.fleetId}`);
    expect([own?.name, own?.pattern]).toEqual([
      'prune-idempotency-records',
      expect.stringMatching(/^\d+ \* \* \* \*$/),
    ]);
  });
});
