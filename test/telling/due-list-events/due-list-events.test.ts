import { connect } from 'node:net';
import pg from 'pg';
import { buildApi } from '../../../src/bootstrap.api.js';
import { EventPruningService } from '../../../src/telling/due-list-events/event-pruning.service.js';
import { toldStatement } from '../../../src/telling/due-list-events/due-list-events.queries.js';
import { StreamSettings } from '../../../src/telling/due-list-events/stream-settings.js';
import { type DueLineSeed, seedDueLine } from '../../support/due-lines.js';
import { type EventStream, openStream } from '../../support/event-stream.js';
import { seeded } from '../../support/faulty-receiver.js';
import { costOf } from '../../support/plans.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario } from '../../support/scenario.js';
import {
  type Client,
  clientOf,
  type FleetHandle,
  type Service,
  startService,
} from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('the stream of events', () => {
  let service: Service;
  let fleet: FleetHandle;
  let streams: EventStream[];
  const usual = new StreamSettings();

  beforeAll(async () => {
    // An event waits for whatever transaction is open on the server, of other databases too.
    service = await startService({ at: NOW, withWorker: true, isApart: true });
  });
  beforeEach(async () => {
    Object.assign(settings(), usual, { lookEveryMs: 50 });
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    streams = [];
  });
  afterEach(() => Promise.all(streams.map((stream) => stream.close())));
  afterAll(() => service.stop());

  const settings = (): StreamSettings => service.app.get(StreamSettings);

  async function open(
    query = '',
    lastEventId?: string,
    client: Client = fleet.dashboard,
    url = service.url,
  ): Promise<EventStream> {
    const stream = await openStream(url, client, query, lastEventId);
    streams.push(stream);
    return stream;
  }
  const seed = (more: Partial<DueLineSeed> = {}): Promise<DueLineSeed> =>
    seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13', ...more },
    });
  const change = (id: string, dueOn: string, by: pg.Client = service.database.admin): Promise<unknown> =>
    by.query('update due_lines set due_on = $2 where id = $1', [id, dueOn]);
  const linesOf = (stream: EventStream): string[] =>
    stream.events.filter(({ event }) => event === 'due-line').map(({ data }) => data.line.id);

  async function writer(): Promise<pg.Client> {
    const client = new pg.Client({ connectionString: service.database.url });
    await client.connect();
    return client;
  }

  it('shows each change as the due list does, in the requested units', async () => {
    const stream = await open();
    expect(stream.headers.get('content-type')).toBe('text/event-stream; charset=utf-8');
    expect(stream.headers.get('cache-control')).toContain('no-store');
    expect(stream.headers.get('x-accel-buffering')).toBe('no');
    expect(stream.headers.get('content-encoding')).toBeNull();
    const metric = await open('?units=si');
    const { vehicleId } = await postScenario(fleet);
    // Four intervals of the plan; the vehicle is posted with all of them at once.
    const told = await stream.untilEvents(4, ({ event }) => event === 'due-line');
    const listed = (await fleet.dashboard.get('/v1/due-list?state=late,due,window,not-due,no-baseline')).body;
    expect(told.map(({ data }) => data.line).sort((a, b) => (a.id < b.id ? -1 : 1))).toEqual(
      [...listed.items].sort((a: any, b: any) => (a.id < b.id ? -1 : 1)),
    );
    for (const { data } of told) expect(data).toMatchObject({ asOf: '2026-04-02', isOpen: true });
    const si = await metric.untilEvents(4);
    expect(si.map(({ data }) => data.line.dueAt.odometer?.unit)).toContain('km');
    expect(si.map(({ id }) => id)).toEqual(told.map(({ id }) => id));

    const before = stream.events.length;
    const done = await fleet.mechanic.post(
      '/v1/job-reports',
      goodJob(vehicleId, '2026-04-01T15:00:00Z', 45_000),
    );
    expect(done.status).toBe(201);
    await until(() => stream.events.slice(before).some(({ data }) => data.line?.component === 'water-pump'));
    const pump = stream.events.slice(before).find(({ data }) => data.line?.component === 'water-pump');
    expect(pump?.data.line).toMatchObject({ state: 'not-due', lastDone: { jobReportId: done.body.id } });

    await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { status: 'disposed' });
    await until(() => stream.events.some(({ data }) => data.isOpen === false));
  });

  it('has one event for each change of a loss alert', async () => {
    const { vehicleId } = await postScenario(fleet);
    const stream = await open();
    // Two unplanned top-ups within 5,000 km are reported as repeating (common practice, no source).
    for (const [takenAt, odometer] of [
      ['2026-03-20T12:00:00Z', 40_000],
      ['2026-03-27T12:00:00Z', 40_200],
      ['2026-04-01T12:00:00Z', 40_400],
    ] as const) {
      const { status } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 0.6, unit: 'L' }, toMark: true, planned: false },
        odometer: { value: odometer, unit: 'mi' },
      });
      expect(status).toBe(201);
    }
    const isAlert = ({ event }: { event: string }): boolean => event === 'loss-alert';
    const [first] = await stream.untilEvents(1, isAlert);
    const [listed] = (await fleet.dashboard.get('/v1/loss-alerts')).body.items;
    expect(first?.data.alert).toMatchObject({ id: listed.id, kind: listed.kind, status: 'raised' });
    await until(
      () => stream.events.filter(isAlert).at(-1)?.data.alert.evidence.length === listed.evidence.length,
    );
    const count = stream.events.filter(isAlert).length;
    // What is concluded anew and says the same is no news.
    await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { unitNumber: 'R-200' });
    await fleet.mechanic.post(`/v1/loss-alerts/${listed.id}/acknowledge`, {});
    const told = await stream.untilEvents(count + 1, isAlert);
    expect(told[count]?.data.alert.status).toBe('acknowledged');
    const all = (await fleet.dashboard.get('/v1/loss-alerts')).body.items.length;
    expect(told.length).toBeLessThanOrEqual(count + all);
  });

  it('loses nothing when the first transaction commits last, unlike a plain sequence', async () => {
    settings().heartbeatMs = 100;
    const [slow, fast] = [await seed(), await seed()];
    const stream = await open();
    const late = await writer();
    const quick = await writer();
    try {
      await late.query('begin');
      await change(slow.id, '2026-03-28', late);
      await change(fast.id, '2026-03-29', quick);
      // What is committed is held back for what is not yet, through many looks.
      const heard = stream.comments;
      await until(() => stream.comments > heard + 5);
      expect(linesOf(stream)).toEqual([]);
      const positions = await quick.query(
        'select xid from due_list_events where fleet_id = $1 order by xid, seq',
        [fleet.fleetId],
      );
      const seen = Number(positions.rows.at(-1).xid);
      await late.query('commit');
      await until(() => linesOf(stream).filter((id) => id === fast.id).length === 1);
      expect(linesOf(stream)).toEqual([slow.id, fast.id]);
      // A reader that goes on from the greatest number it has seen would have passed the slow one.
      const { rows } = await quick.query(
        'select e.xid from due_list_events e where e.fleet_id = $1 and $2 = any(e.subject_ids) order by xid desc limit 1',
        [fleet.fleetId, slow.id],
      );
      expect(Number(rows[0].xid)).toBeLessThan(seen);
    } finally {
      await Promise.all([late.end(), quick.end()]);
    }
  });

  it('resumes where a client left off, with many writers whose transactions overlap at random', async () => {
    const lines = await Promise.all(Array.from({ length: 24 }, () => seed()));
    const first = await open();
    const writers = await Promise.all(Array.from({ length: 6 }, writer));
    const heard = new Set<string>();
    let reader = first;
    const writing = { goesOn: true };
    const random = seeded(20260402);
    async function write(client: pg.Client, mine: DueLineSeed[]): Promise<void> {
      for (const [n, line] of mine.entries()) {
        await client.query('begin');
        await change(line.id, `2026-03-1${n}`, client);
        await new Promise((resolve) => setTimeout(resolve, random() * 120));
        await client.query(n % 4 === 3 ? 'rollback' : 'commit');
      }
    }
    async function comeAndGo(): Promise<void> {
      while (writing.goesOn) {
        await new Promise((resolve) => setTimeout(resolve, 60));
        await reader.close();
        for (const id of linesOf(reader)) heard.add(id);
        reader = await open('', reader.lastEventId);
      }
    }
    const reading = comeAndGo();
    await Promise.all(writers.map((client, n) => write(client, lines.slice(n * 4, n * 4 + 4))));
    writing.goesOn = false;
    await reading;
    await Promise.all(writers.map((client) => client.end()));
    const committed = lines.filter((_, n) => n % 4 !== 3).map(({ id }) => id);
    await until(() => {
      for (const id of linesOf(reader)) heard.add(id);
      return heard.size >= committed.length;
    });
    expect([...heard].sort()).toEqual([...committed].sort());
  });

  it('resumes in the middle of one large change, page by page', async () => {
    const { vehicleId } = await seed();
    const stream = await open();
    await service.database.admin.query(
      `insert into due_lines (fleet_id, id, vehicle_id, unit_number, component, action, item, origin, window_opens_on, due_on, late_on, cycle)
       select $1, gen_random_uuid(), $2, 'N', 'upper-hose', 'inspect', n::text, 'interval', d, d, d, 'in-service'
       from generate_series(1, 2345) n, lateral (select date '2026-06-01' as d)`,
      [fleet.fleetId, vehicleId],
    );
    const told = await stream.untilEvents(2345);
    expect(new Set(told.map(({ id }) => id)).size).toBe(2345);
    const middle = told[1234];
    const again = await open('', middle?.id);
    const rest = await again.untilEvents(2345 - 1235);
    expect(rest.map(({ id, data }) => [id.split('.').slice(0, 3), data.line.id])).toEqual(
      told.slice(1235).map(({ id, data }) => [id.split('.').slice(0, 3), data.line.id]),
    );
    expect(again.events).toHaveLength(2345 - 1235);
  });

  it('answers reset to a client that was away too long or sends an unknown id, and then continues', async () => {
    const line = await seed();
    const stream = await open();
    const known = stream.lastEventId;
    const [xid, ...rest] = known.split('.');
    const foreign = [`${Number(xid) + 1_000_000}`, ...rest].join('.');
    for (const [id, reason] of [
      ['7', 'unknown'],
      ['x'.repeat(2000), 'unknown'],
      [foreign, 'unknown'],
      [`${xid}.0.0.${'9'.repeat(12)}`, 'unknown'],
      [`${xid}.0.0.0`, 'too-old'],
    ] as const) {
      const reset = await open('', id);
      expect(reset.events).toEqual([{ event: 'reset', id: reset.lastEventId, data: { reason } }]);
      expect(reset.lastEventId).toMatch(/^\d+\.0\.0\.\d+$/);
      if (reason === 'unknown') await reset.close();
    }
    service.clock.moveDays(0.24);
    expect((await open('', known)).events).toEqual([]);
    service.clock.moveDays(0.02);
    const late = await open('', known);
    expect(late.events.map(({ event, data }) => [event, data])).toEqual([['reset', { reason: 'too-old' }]]);
    await change(line.id, '2026-03-21');
    await until(() => linesOf(late).includes(line.id));
  });

  it('keeps events as long as a client may come back for them, and then removes them', async () => {
    const line = await seed();
    await change(line.id, '2026-03-20');
    const { admin } = service.database;
    const count = async (): Promise<number> =>
      (
        await admin.query('select count(*)::int as n from due_list_events where fleet_id = $1', [
          fleet.fleetId,
        ])
      ).rows[0].n;
    expect(await count()).toBe(2);
    await admin.query(
      `update due_list_events set recorded_at = now() - interval '8 hours' where fleet_id = $1
         and xid = (select min(xid) from due_list_events where fleet_id = $1)`,
      [fleet.fleetId],
    );
    await service.app.get(EventPruningService).pruneFleet(fleet.fleetId);
    expect(await count()).toBe(1);
  });

  it.each([
    ['America/Denver', '2026-03-08T06:59:00Z', '2026-03-08T07:00:01Z', '2026-03-08'], // the night the clocks go forward
    ['Pacific/Apia', '2026-04-02T10:59:00Z', '2026-04-02T11:00:01Z', '2026-04-03'], // UTC+13
  ])(
    'says when the next day begins in %s, also to a client that was away meanwhile',
    async (timeZone, before, after, day) => {
      service.clock.moveTo(before);
      fleet = await service.newFleet({ timeZone });
      const [stream, absent] = [await open(), await open()];
      await absent.close();
      service.clock.moveTo(after);
      const [told] = await stream.untilEvents(1);
      expect(told).toMatchObject({ event: 'day', data: { asOf: day } });
      const back = await open('', absent.lastEventId);
      expect(back.events).toMatchObject([{ event: 'day', data: { asOf: day } }]);
      const again = await open('', back.lastEventId);
      expect(again.events).toEqual([]);
    },
  );

  it('shows a token bound to depots only those, and tells it to reload when a line has left them', async () => {
    const depot = async (name: string): Promise<string> =>
      (await fleet.manager.post('/v1/depots', { name })).body.id;
    const [ridge, harbour] = [await depot('Ridge'), await depot('Harbour')];
    const { body } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'Ridge board', role: 'dashboard', depotIds: [ridge] },
    });
    const stream = await open('', undefined, clientOf(service.url, body.token));
    const whole = await open();
    const [mine, foreign] = [await seed({ depotId: ridge }), await seed({ depotId: harbour })];
    await change(foreign.id, '2026-03-27');
    await change(mine.id, '2026-03-28');
    await until(() => linesOf(whole).includes(foreign.id) && linesOf(whole).includes(mine.id));
    await until(() => linesOf(stream).includes(mine.id));
    expect(new Set(linesOf(stream))).toEqual(new Set([mine.id]));

    await service.database.admin.query('update due_lines set depot_id = $2, due_on = $3 where id = $1', [
      ...[mine.id, harbour, '2026-03-29'],
    ]);
    const [left] = await stream.untilEvents(1, ({ event }) => event === 'reset');
    expect(left?.data).toEqual({ reason: 'moved' });
    // What it has become elsewhere is not told.
    expect(JSON.stringify(stream.events)).not.toContain('2026-03-29');
    expect(JSON.stringify(stream.events)).not.toContain(harbour);
    expect(whole.events.some(({ event }) => event === 'reset')).toBe(false);
  });

  it('can be filtered by depot, component, action or vehicle, and says so when a line leaves the depot', async () => {
    const depot = async (name: string): Promise<string> =>
      (await fleet.manager.post('/v1/depots', { name })).body.id;
    const [ridge, harbour] = [await depot('Ridge'), await depot('Harbour')];
    const pump = await seed({ depotId: ridge });
    const belt = await seed({ depotId: ridge, component: 'drive-belt' });
    const other = await seed({ depotId: harbour });
    const wanted: [string, string[]][] = [
      [`depotId=${ridge}`, [pump.id, belt.id]],
      [`depotId=${harbour}`, [other.id]],
      ['component=drive-belt', [belt.id]],
      ['action=inspect', []],
      [`vehicleId=${pump.vehicleId}&component=water-pump`, [pump.id]],
    ];
    const narrow = await Promise.all(wanted.map(([query]) => open(`?${query}`)));
    const all = await open();
    for (const { id } of [pump, belt, other]) await change(id, '2026-03-25');
    await all.untilEvents(3);
    await until(() => narrow.every((stream, n) => linesOf(stream).length === wanted[n]?.[1].length));
    expect(narrow.map(linesOf)).toEqual(wanted.map(([, ids]) => ids));
    await service.database.admin.query('update due_lines set depot_id = $2 where id = $1', [
      pump.id,
      harbour,
    ]);
    const [atRidge, atHarbour] = narrow as [EventStream, EventStream];
    await until(() => linesOf(atRidge).length === 3 && linesOf(atHarbour).length === 2);
    expect(atRidge.events.at(-1)?.data.line.vehicle.depotId).toBe(harbour);
    for (const query of [
      'depotId=7',
      'component=engine',
      'colour=red',
      'state=late',
      'units=metric',
      'vehicleId=%00',
    ])
      expect((await open(`?${query}`)).status).toBe(400);
  });

  it('shows another fleet nothing, and is closed to calendar tokens and to clients without a token', async () => {
    const other = await service.newFleet();
    const stream = await open('', undefined, other.dashboard);
    const mine = await open();
    const line = await seed();
    await mine.untilEvents(1);
    // What is theirs comes after what is mine, so it would not come first.
    const theirs = await seedDueLine(service, other.fleetId, {
      ...{ windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13' },
    });
    await stream.untilEvents(1);
    expect([linesOf(stream), linesOf(mine)]).toEqual([[theirs.id], [line.id]]);
    expect((await open('', undefined, service.client(null))).status).toBe(401);
    const { body } = await fleet.manager.post('/v1/tokens', { name: 'cal', role: 'calendar' });
    expect((await open('', undefined, service.client(body.token))).status).toBe(403);
    expect((await fleet.dashboard.send('HEAD', '/v1/due-list/events', undefined)).status).toBe(200);
  });

  it('sends heartbeats with its position, and ends when the token is no longer valid', async () => {
    settings().heartbeatMs = 150;
    const [revoked, expiring] = await Promise.all(
      [{}, { expiresAt: '2026-04-02T16:00:00Z' }].map(
        async (more) =>
          (await fleet.manager.post('/v1/tokens', { name: 'board', role: 'dashboard', ...more })).body,
      ),
    );
    const [board, until16, kept] = await Promise.all([
      open('', undefined, service.client(revoked.token)),
      open('', undefined, service.client(expiring.token)),
      // Hears nothing of what happens, and comes on all the same.
      open('?component=idler'),
    ]);
    const begun = kept.lastEventId;
    const line = await seed();
    await until(() => kept.comments > 3 && kept.lastEventId !== begun);
    expect(Number(kept.lastEventId.split('.')[0])).toBeGreaterThan(Number(begun.split('.')[0]));
    expect(linesOf(board)).toEqual([line.id]);
    await fleet.manager.delete(`/v1/tokens/${revoked.id}`);
    await until(() => board.isOver);
    expect(until16.isOver).toBe(false);
    service.clock.moveTo('2026-04-02T16:00:00Z');
    await until(() => until16.isOver);
    expect(kept.isOver).toBe(false);
    expect((await open('', board.lastEventId, service.client(revoked.token))).status).toBe(401);
  });

  it('ends at once when the token is revoked, long before the next heartbeat, and ends no other', async () => {
    settings().heartbeatMs = 600_000;
    const issue = async () =>
      (await fleet.manager.post('/v1/tokens', { name: 'board', role: 'dashboard' })).body;
    const [byRequest, bySql] = [await issue(), await issue()];
    const openFor = ({ token }: any) => open('', undefined, service.client(token));
    const [first, second, third, kept] = [
      await openFor(byRequest),
      await openFor(byRequest),
      await openFor(bySql),
      await open(),
    ];
    expect((await fleet.manager.delete(`/v1/tokens/${byRequest.id}`)).status).toBe(204);
    await until(() => first.isOver && second.isOver);
    // However it comes to be revoked.
    expect(third.isOver).toBe(false);
    await service.database.admin.query('update access_tokens set revoked_at = now() where id = $1', [
      bySql.id,
    ]);
    await until(() => third.isOver);
    expect(kept.isOver).toBe(false);
  });

  it('has a limit for a token and for the process, and says when to come back', async () => {
    Object.assign(settings(), { mostStreamsOfToken: 2, mostStreams: 3 });
    const first = await open();
    await open();
    const third = await open();
    expect([third.status, third.headers.get('retry-after')]).toEqual([429, '15']);
    expect(third.body.type).toBe('/problems/too-many-streams');
    await open('', undefined, fleet.mechanic);
    const fourth = await open('', undefined, fleet.manager);
    expect([fourth.status, fourth.headers.get('retry-after')]).toEqual([503, '5']);
    await first.close();
    await until(async () => (await open()).status === 200);
  });

  it('drops a client that reads nothing, and buffers no more for it than its limit', async () => {
    Object.assign(settings(), { dropAfterMs: 300, mostBufferedBytes: 64 * 1024 });
    const { vehicleId } = await seed();
    const { hostname, port } = new URL(service.url);
    const socket = connect({ host: hostname, port: Number(port) });
    socket.on('error', () => undefined);
    socket.pause();
    socket.write(
      `GET /v1/due-list/events HTTP/1.1\r\nhost: x\r\nauthorization: Bearer ${fleet.dashboard.token}\r\n\r\n`,
    );
    let isCut = false;
    socket.on('close', () => (isCut = true));
    const reading = await open();
    await service.database.admin.query(
      `insert into due_lines (fleet_id, id, vehicle_id, unit_number, component, action, item, origin, window_opens_on, due_on, late_on, cycle)
       select $1, gen_random_uuid(), $2, 'N', 'upper-hose', 'inspect', n::text, 'interval', d, d, d, 'in-service'
       from generate_series(1, 4000) n, lateral (select date '2026-06-01' as d)`,
      [fleet.fleetId, vehicleId],
    );
    for (const day of ['2026-06-02', '2026-06-03', '2026-06-04'])
      await service.database.admin.query(
        'update due_lines set late_on = $2 where fleet_id = $1 and unit_number = $3',
        [...[fleet.fleetId, day, 'N']],
      );
    // One that reads is not held up by one that does not: 4,000 lines, told four times.
    await reading.untilEvents(16_000);
    await until(async () => {
      const connections = await new Promise<number>((resolve, reject) =>
        service.app
          .getHttpServer()
          .getConnections((error: Error | null, n: number) => (error ? reject(error) : resolve(n))),
      );
      socket.resume();
      return isCut || connections === 0;
    });
    socket.destroy();
    expect(reading.isOver).toBe(false);
  });

  it('reads by the index, and only as much as it sends', async () => {
    const line = await seed();
    const { admin } = service.database;
    await admin.query(
      `insert into due_list_events (fleet_id, xid, seq, kind, subject_ids)
       select $1, n, 9, 'due-line', array[$2::uuid] from generate_series(1, 20000) n`,
      [fleet.fleetId, line.id],
    );
    await admin.query('analyze due_list_events');
    for (const plan of ['force_custom_plan', 'force_generic_plan'] as const) {
      const cost = await costOf(
        admin,
        fleet.fleetId,
        toldStatement(fleet.fleetId, { xid: 100, seq: 0, n: 0 }, 50),
        plan,
      );
      expect(cost.seqScans.filter((table) => table === 'due_list_events')).toEqual([]);
      expect(cost.rows).toBe(50);
      expect(cost.rowsRemoved).toBeLessThan(60);
      expect(cost.buffers).toBeLessThan(200);
    }
    await admin.query('delete from due_list_events where fleet_id = $1', [fleet.fleetId]);
  });

  describe('with several processes', () => {
    it('sends each process what was posted to the other, even while notices do not get through', async () => {
      const app = await buildApi(service.config, { withWorker: false, clock: service.clock });
      await app.listen(0, '127.0.0.1');
      const url = await app.getUrl();
      try {
        Object.assign(app.get(StreamSettings), { lookEveryMs: 50 });
        const [here, there] = [await open(), await open('', undefined, fleet.dashboard, url)];
        const post = (at: Client, name: string): Promise<unknown> =>
          postScenario({ ...fleet, manager: at }, { unitNumber: name });
        await post(clientOf(url, fleet.manager.token), 'A-1');
        await Promise.all([here.untilEvents(4), there.untilEvents(4)]);
        const listening = `select pid from pg_stat_activity where datname = current_database() and application_name = 'weephole events'`;
        const { admin } = service.database;
        const { rows } = await admin.query(listening);
        expect(rows).toHaveLength(2);
        // Its connections go; each process looks by itself until it has another.
        for (const { pid } of rows) await admin.query('select pg_terminate_backend($1)', [pid]);
        const line = await seed();
        await until(() => linesOf(here).includes(line.id) && linesOf(there).includes(line.id));
        await until(async () => (await admin.query(listening)).rows.length === 2);
        // A token that is revoked at the one ends its streams at the other, and one that is revoked
        // unheard when it listens again.
        for (const isHeard of [true, false]) {
          const { token, id } = (await fleet.manager.post('/v1/tokens', { name: 'tv', role: 'dashboard' }))
            .body;
          const tv = await open('', undefined, clientOf(url, token), url);
          if (!isHeard)
            await admin.query(
              `select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and application_name = 'weephole events'`,
            );
          expect((await fleet.manager.delete(`/v1/tokens/${id}`)).status).toBe(204);
          await until(() => tv.isOver);
        }
        expect(there.isOver).toBe(false);
        await until(async () => (await admin.query(listening)).rows.length === 2);
        // The process ends: its streams do, and the client takes up at the other.
        const ended = until(() => there.isOver);
        await app.close();
        await ended;
        const missed = await seed();
        const moved = await open('', there.lastEventId);
        await moved.untilEvents(1);
        expect(linesOf(moved)).toEqual([missed.id]);
      } finally {
        await app.close();
      }
    });
  });
});
