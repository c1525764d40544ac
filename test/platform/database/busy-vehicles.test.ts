import pg from 'pg';
import { WritePlaces } from '../../../src/platform/database/write-places.js';
import { until } from '../../support/receiver.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';

/** The service has 12 connections. */
const OF_FLEET = 2;
const OF_VEHICLE = 1;

describe('while many write about a vehicle that somebody has locked', () => {
  let service: Service;
  let busy: FleetHandle;
  let other: FleetHandle;
  /** Of the busy fleet. */
  let vehicles: string[];
  /** As whoever takes in a spreadsheet: holds the locks of vehicles for long. */
  let holder: pg.Client;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    Object.assign(places().refused, { full: 0, late: 0, gone: 0 });
    [busy, other] = [await service.newFleet(), await service.newFleet()];
    vehicles = [];
    for (let n = 0; n < 3; n++) vehicles.push(await newVehicle(busy, `T-${n}`));
    holder = new pg.Client({ connectionString: service.database.url });
    await holder.connect();
  });
  afterEach(() => holder.end());
  afterAll(() => service.stop());

  const places = (): WritePlaces => service.app.get(WritePlaces);

  async function newVehicle(fleet: FleetHandle, unitNumber: string): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/vehicles', { unitNumber });
    expect(status).toBe(201);
    return body.id;
  }

  async function lock(ids: string[]): Promise<void> {
    await holder.query('begin');
    const locked = await holder.query('select from vehicles where id = any($1) order by id for update', [
      ids,
    ]);
    expect(locked.rowCount).toBe(ids.length);
  }
  const letGo = (): Promise<unknown> => holder.query('commit');

  const readingOf = (vehicleId: string, n: number) => ({
    vehicleId,
    readAt: new Date(Date.parse('2026-03-01T00:00:00Z') + n * 600_000).toISOString(),
    odometer: { value: 50_000 + n, unit: 'mi' },
  });
  /** So many posts at once, a reading each. */
  const postAll = (fleet: FleetHandle, vehicleId: string, count: number): Promise<Answer>[] =>
    Array.from({ length: count }, (_, n) =>
      fleet.mechanic.post('/v1/usage-readings', { readings: [readingOf(vehicleId, n)] }),
    );

  async function readingsOf(vehicleId: string): Promise<number> {
    const { rows } = await service.database.admin.query<{ count: number }>(
      'select count(*)::int as count from usage_readings where vehicle_id = $1',
      [vehicleId],
    );
    return rows[0]?.count ?? 0;
  }
  async function waitingForLocks(): Promise<number> {
    const { rows } = await service.database.admin.query<{ count: number }>(
      `select count(*)::int as count from pg_stat_activity
       where datname = current_database() and application_name = 'weephole' and wait_event_type = 'Lock'`,
    );
    return rows[0]?.count ?? 0;
  }
  /** All have come: so many wait for the lock, and the rest for their turn. */
  const untilWaiting = (forLocks: number, forTurn: number): Promise<void> =>
    until(
      async () => (await waitingForLocks()) === forLocks && places().waiting === forTurn,
      10_000,
      () => `${places().holding} hold a connection, ${places().waiting} wait`,
    );
  const statuses = async (answers: Promise<Answer>[]): Promise<number[]> =>
    (await Promise.all(answers)).map(({ status }) => status);

  async function expectReadable(fleet: FleetHandle, vehicleId: string): Promise<void> {
    for (const path of ['/v1/due-list', `/v1/vehicles/${vehicleId}`, '/v1/due-list/summary']) {
      const { status } = await fleet.dashboard.get(path);
      expect([path, status]).toEqual([path, 200]);
    }
  }

  it('one waits for the lock, everybody else continues, and everything is stored in the end', async () => {
    const [locked, free] = vehicles as [string, string];
    const others = await newVehicle(other, 'B-1');
    await lock([locked]);
    const posts = postAll(busy, locked, 40);
    await untilWaiting(OF_VEHICLE, 40 - OF_VEHICLE);

    await expectReadable(other, others);
    await expectReadable(busy, locked);
    expect(await statuses(postAll(other, others, 3))).toEqual([200, 200, 200]);
    expect(await statuses(postAll(busy, free, 3))).toEqual([200, 200, 200]);
    const metrics = await service.operator().get<string>('/metrics');
    expect(metrics.body).toContain('weephole_writes{state="holding"} 1\n');
    expect(metrics.body).toContain('weephole_writes{state="waiting"} 39\n');

    await letGo();
    expect(new Set(await statuses(posts))).toEqual(new Set([200]));
    expect([await readingsOf(locked), await readingsOf(others), await readingsOf(free)]).toEqual([40, 3, 3]);
    expect([places().holding, places().waiting]).toEqual([0, 0]);
  }, 240_000);

  it('other requests about it count too, by the vehicle if it is named, otherwise by the fleet', async () => {
    const [locked, second] = vehicles as [string, string];
    const posted = await busy.mechanic.post('/v1/usage-readings', { readings: [readingOf(locked, 0)] });
    const decided = posted.body.results[0].id as string;
    await lock([locked]);
    const answers = [
      busy.manager.post(`/v1/usage-readings/${decided}/void`),
      busy.manager.patch(`/v1/vehicles/${locked.toUpperCase()}`, { unitNumber: 'T-9' }),
      busy.mechanic.post(`/v1/vehicles/${locked}/readings`, {
        ...{ kind: 'top-up', takenAt: '2026-04-01T12:00:00Z', added: { value: 0.5, unit: 'L' } },
        ...{ toMark: true, planned: false },
      }),
      busy.mechanic.post('/v1/job-reports', {
        ...{ vehicleId: locked, performedAt: '2026-04-01T12:00:00Z', performedBy: 'badge 7' },
        ...{ releasedForService: 'yes', lines: [{ component: 'coolant', action: 'replace' }] },
      }),
      ...postAll(busy, locked, 2),
    ];
    await untilWaiting(OF_VEHICLE, answers.length - OF_VEHICLE);
    const batches = Array.from({ length: 6 }, (_, n) =>
      busy.mechanic.post('/v1/usage-readings', {
        readings: [readingOf(second, 100 + n), readingOf(locked, 100 + n)],
      }),
    );
    await untilWaiting(OF_FLEET, answers.length + batches.length - OF_FLEET);
    await expectReadable(busy, locked);
    await letGo();
    expect(await statuses([...answers, ...batches])).toEqual([
      ...[200, 200, 201, 201, 200, 200],
      ...batches.map(() => 200),
    ]);
    expect([await readingsOf(locked), await readingsOf(second)]).toEqual([2 + 6, 6]);
  }, 240_000);

  it('requests beyond the limit are told when to come again, and none of the accepted ones is lost', async () => {
    const [locked] = vehicles as [string];
    const { waitingOfVehicle } = places().limits;
    const taken = OF_VEHICLE + waitingOfVehicle;
    await lock([locked]);
    const posts = postAll(busy, locked, taken + 10);
    await until(() => places().refused.full === 10, 60_000);
    await letGo();
    const answers = await Promise.all(posts);
    const refused = answers.filter(({ status }) => status !== 200);
    expect(refused).toHaveLength(10);
    for (const { status, headers, body } of refused) {
      expect([status, headers.get('retry-after'), headers.get('content-type')]).toEqual([
        503,
        '5',
        'application/problem+json; charset=utf-8',
      ]);
      expect(body).toMatchObject({
        type: '/problems/too-busy',
        title: 'Too many writes at once',
        detail: `${waitingOfVehicle} writes about this vehicle are already waiting. Nothing of this request was stored. Send it again after 5 s. Put several readings or reports into one request to wait only once.`,
        instance: '/v1/usage-readings',
        limit: waitingOfVehicle,
        present: waitingOfVehicle,
      });
    }
    expect(await readingsOf(locked)).toBe(taken);
    const metrics = await service.operator().get<string>('/metrics');
    expect(metrics.body).toContain('weephole_writes_refused_total{reason="full"} 10\n');
  }, 240_000);

  it('a caller that leaves gives up its place, and its request is not executed', async () => {
    const [locked] = vehicles as [string];
    await lock([locked]);
    const posts = postAll(busy, locked, OF_VEHICLE);
    await untilWaiting(OF_VEHICLE, 0);
    const leaving = new AbortController();
    const left = fetch(`${service.url}/v1/usage-readings`, {
      method: 'POST',
      headers: { authorization: `Bearer ${busy.mechanic.token}`, 'content-type': 'application/json' },
      body: JSON.stringify({ readings: [readingOf(locked, 50)] }),
      signal: leaving.signal,
    }).catch(() => 'left');
    await untilWaiting(OF_VEHICLE, 1);
    leaving.abort();
    expect(await left).toBe('left');
    await untilWaiting(OF_VEHICLE, 0);
    await letGo();
    expect(await statuses(posts)).toEqual(posts.map(() => 200));
    expect([await readingsOf(locked), places().refused.gone]).toEqual([OF_VEHICLE, 1]);
  }, 240_000);

  it('the same request twice with one Idempotency-Key is executed once', async () => {
    const [locked] = vehicles as [string];
    await lock([locked]);
    const before = postAll(busy, locked, OF_VEHICLE);
    await untilWaiting(OF_VEHICLE, 0);
    const body = { readings: [readingOf(locked, 70)] };
    const send = () => busy.mechanic.post('/v1/usage-readings', body, { 'idempotency-key': 'twice' });
    const twice = [send(), send()];
    await untilWaiting(OF_VEHICLE, 2);
    await letGo();
    expect(await statuses(before)).toEqual(before.map(() => 200));
    // Both may get their turn at the same time: then one is told that the other is still under way.
    const [first, second] = (await Promise.all(twice)) as [Answer, Answer];
    const done = [first, second].filter(({ status }) => status === 200);
    expect(done.length).toBeGreaterThan(0);
    const again = await send();
    for (const { body: answer } of done) expect(answer).toEqual(again.body);
    expect(again.body).toMatchObject({ accepted: 1 });
    expect(await readingsOf(locked)).toBe(OF_VEHICLE + 1);
  }, 240_000);

  it('a write that waits too long for its turn or the lock is told when to come again', async () => {
    const [locked] = vehicles as [string];
    const { patienceMs, lockPatienceMs } = places().limits;
    Object.assign(places().limits, { patienceMs: 200, lockPatienceMs: 2000 });
    try {
      await lock([locked]);
      const answers = await Promise.all([
        ...postAll(busy, locked, OF_VEHICLE + 1),
        busy.manager.send('POST', '/v1/usage-readings/import?dryRun=true', csvOf('T-0'), {
          'content-type': 'text/csv',
        }),
      ]);
      expect(answers.map(({ status, headers }) => [status, headers.get('retry-after')])).toEqual(
        answers.map(() => [503, '5']),
      );
      expect(new Set(answers.map(({ body }) => body.type))).toEqual(new Set(['/problems/too-busy']));
      const said = answers.map(({ body }) => `${String(body.title)}: ${String(body.detail)}`);
      const waited = `Too many writes at once: This request waited ${places().limits.patienceMs / 1000} s for its turn`;
      expect(said.filter((words) => words.startsWith(waited))).toHaveLength(1);
      const busyRecord = 'The record is busy: Another change, such as a spreadsheet import, kept this record';
      expect(said.filter((words) => words.startsWith(busyRecord))).toHaveLength(OF_VEHICLE + 1);
    } finally {
      Object.assign(places().limits, { patienceMs, lockPatienceMs });
    }
    await letGo();
    expect(await readingsOf(locked)).toBe(0);
  }, 240_000);
});

const csvOf = (unitNumber: string): string =>
  `unitNumber,readAt,odometer\n${unitNumber},2026-04-01T10:00:00Z,51000\n`;
