import { v7 as uuidv7 } from 'uuid';
import { type DueLineSeed, seedDueLine } from '../../support/due-lines.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const TODAY = '2026-04-02';

describe('the due list', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService();
  });
  beforeEach(async () => {
    service.clock.moveTo(`${TODAY}T15:00:00Z`);
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
  });
  afterAll(() => service.stop());

  const sql = (text: string, values: unknown[]): Promise<{ rows: any[] }> =>
    service.database.admin.query(text, values);

  async function depot(name: string): Promise<string> {
    return (await fleet.manager.post('/v1/depots', { name })).body.id;
  }

  const seed = async (lines: Record<string, Partial<DueLineSeed>>): Promise<Map<string, string>> => {
    const ids = new Map<string, string>();
    for (const [name, line] of Object.entries(lines)) {
      const dueOn = line.dueOn ?? TODAY;
      const stored = await seedDueLine(service, fleet.fleetId, {
        windowOpensOn: line.windowOpensOn ?? dueOn,
        dueOn,
        lateOn: line.lateOn ?? dueOn,
        ...line,
      });
      ids.set(stored.id, name);
    }
    await sql('update fleets set greatest_grace_days = 30 where id = $1', [fleet.fleetId]);
    return ids;
  };

  async function named(ids: Map<string, string>, path: string): Promise<string[]> {
    const { status, body } = await fleet.dashboard.get(path);
    expect(status).toBe(200);
    return body.items.map((item: any) => ids.get(item.id) ?? '?');
  }

  const ONE_OF_EACH: Record<string, Partial<DueLineSeed>> = {
    late: { windowOpensOn: '2026-02-01', dueOn: '2026-03-01', lateOn: '2026-03-15' },
    lateFirstDay: { windowOpensOn: '2026-03-01', dueOn: '2026-03-19', lateOn: TODAY },
    due: { windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13' },
    dueToday: { windowOpensOn: '2026-03-03', dueOn: TODAY, lateOn: '2026-04-16' },
    window: { windowOpensOn: TODAY, dueOn: '2026-05-02', lateOn: '2026-05-16' },
    notDue: { windowOpensOn: '2026-04-03', dueOn: '2026-04-10', lateOn: '2026-04-24' },
    undated: { windowOpensOn: 'infinity', dueOn: 'infinity', lateOn: 'infinity' },
    noBaseline: { windowOpensOn: 'infinity', dueOn: 'infinity', lateOn: 'infinity', noBaseline: true },
    closed: { windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13', isOpen: false },
    // Late by an estimate that went stale on 30 March: due until a reading says otherwise, however
    // long ago it came due.
    lapsed: {
      windowOpensOn: '2026-01-01',
      dueOn: '2026-01-20',
      lateOn: '2026-02-03',
      lateLapsesOn: '2026-03-30',
    },
    neverLate: { windowOpensOn: '2026-01-01', dueOn: '2026-01-21', lateOn: 'infinity' },
  };

  it.each([
    ['', ['lapsed', 'neverLate', 'late', 'lateFirstDay', 'due', 'dueToday', 'window']],
    ['state=late', ['late', 'lateFirstDay']],
    ['state=due', ['lapsed', 'neverLate', 'due', 'dueToday']],
    ['state=window', ['window']],
    ['state=not-due', ['notDue', 'undated']],
    ['state=no-baseline', ['noBaseline']],
    ['state=due,no-baseline', ['lapsed', 'neverLate', 'due', 'dueToday', 'noBaseline']],
    ['state=late,window,not-due', ['late', 'lateFirstDay', 'notDue', 'window', 'undated']],
    ['state=due,late', ['lapsed', 'neverLate', 'late', 'lateFirstDay', 'due', 'dueToday']],
    ['dueBefore=2026-03-30', ['lapsed', 'neverLate', 'late', 'lateFirstDay']],
    ['dueBefore=2026-03-31&state=due', ['lapsed', 'neverLate', 'due']],
  ])('lists by state and day, in the order of dueOn: %s', async (query, expected) => {
    const ids = await seed(ONE_OF_EACH);
    expect(await named(ids, `/v1/due-list?${query}`)).toEqual(expected);
    const paged: string[] = [];
    for (let cursor: string | null = ''; cursor !== null;) {
      const { body }: { body: any } = await fleet.dashboard.get(
        `/v1/due-list?limit=1&${query}${cursor && `&cursor=${cursor}`}`,
      );
      paged.push(...body.items.map((item: any) => ids.get(item.id)));
      cursor = body.next;
    }
    expect(paged).toEqual(expected);
  });

  it('shows a line in the fleet’s units, and in others on request', async () => {
    const depotId = await depot('Ridge');
    const line = await seedDueLine(service, fleet.fleetId, {
      windowOpensOn: '2026-03-01',
      dueOn: '2026-03-30',
      lateOn: '2026-04-13',
      depotId,
    });
    // Read this very moment, so that nothing is estimated: 161,014.8672 km is 100,050 mi (1 mi =
    // 1.609344 km, NIST SP 811).
    await sql(
      `insert into usage_summaries (fleet_id, vehicle_id, odometer_read_at, odometer_lifetime_km, odometer_offset_km)
       values ($1, $2, $3, 161014.8672, 1609.344)`,
      [fleet.fleetId, line.vehicleId, `${TODAY}T15:00:00Z`],
    );
    const { body } = await fleet.mechanic.get('/v1/due-list');
    expect(body).toEqual({
      asOf: TODAY,
      items: [
        {
          id: line.id,
          state: 'due',
          component: 'water-pump',
          item: null,
          action: 'replace',
          origin: 'interval',
          vehicle: { id: line.vehicleId, unitNumber: line.unitNumber, depotId },
          trigger: 'distance',
          windowOpensOn: '2026-03-01',
          dueOn: '2026-03-30',
          lateOn: '2026-04-13',
          earliestOn: null,
          latestOn: null,
          // Due at a lifetime of 100,000 mi; the odometer in place now shows 1,000 mi less.
          dueAt: { odometer: { value: 99_000, unit: 'mi' }, engineHours: null, date: null },
          remaining: { distance: { value: -50, unit: 'mi' }, engineHours: null, days: -3 },
          lastDone: null,
          stale: false,
          needsReading: false,
          postponedUntil: null,
          atOnce: false,
          causes: [],
          basis: [],
          releasedWithFindings: false,
          visit: null,
        },
      ],
      next: null,
    });
    const si = await fleet.mechanic.get('/v1/due-list?units=si');
    expect(si.body.items[0].remaining.distance).toEqual({ value: -80.4672, unit: 'km' });
  });

  it('computes what is left from the last reading by days in use', async () => {
    // 160,934.4 km are due, 160,000 km were read four days ago. At 100 km a day four days are 400
    // km; of a vehicle that is used until the end
    // of March the two after the 29th count: 200 km. Worked by hand.
    const remaining = async (inUseMonths: string): Promise<object> => {
      const line = await seedDueLine(service, fleet.fleetId, {
        ...{ windowOpensOn: '2026-03-01', dueOn: '2026-03-30', lateOn: '2026-04-13' },
      });
      await sql(
        `insert into usage_summaries (fleet_id, vehicle_id, odometer_read_at, odometer_lifetime_km, odometer_offset_km, distance_rate)
         values ($1, $2, '2026-03-29T15:00:00Z', 160000, 0, jsonb_build_object('perDay', 100, 'low', 90, 'high', 110, 'inUseMonths', $3::jsonb))`,
        [fleet.fleetId, line.vehicleId, inUseMonths],
      );
      const { body } = await fleet.mechanic.get(`/v1/due-list?units=si&vehicleId=${line.vehicleId}`);
      return body.items[0].remaining.distance;
    };
    expect(await remaining('null')).toEqual({ value: 534.4, unit: 'km' });
    expect(await remaining('[1, 2, 3]')).toEqual({ value: 734.4, unit: 'km' });
  });

  it('filters by depot, component, action, vehicle and part of the unit number', async () => {
    const [ridge, harbour] = [await depot('Ridge'), await depot('Harbour')];
    const ids = await seed({
      pumpRidge: { depotId: ridge },
      beltRidge: { depotId: ridge, component: 'drive-belt' },
      pumpHarbour: { depotId: harbour },
    });
    const { rows } = await sql('select id, vehicle_id, unit_number from due_lines where fleet_id = $1', [
      fleet.fleetId,
    ]);
    const belt = rows.find((row) => ids.get(row.id) === 'beltRidge');
    const sorted = async (query: string): Promise<string[]> =>
      (await named(ids, `/v1/due-list?${query}`)).sort();
    expect(await sorted(`depotId=${ridge}`)).toEqual(['beltRidge', 'pumpRidge']);
    expect(await sorted('component=water-pump')).toEqual(['pumpHarbour', 'pumpRidge']);
    expect(await sorted(`component=water-pump&depotId=${ridge}&state=late`)).toEqual(['pumpRidge']);
    expect(await sorted('action=inspect')).toEqual([]);
    expect(await sorted('action=replace')).toHaveLength(3);
    expect(await sorted(`vehicleId=${belt.vehicle_id}`)).toEqual(['beltRidge']);
    expect(await sorted(`vehicleId=${uuidv7()}`)).toEqual([]);
    expect(await sorted(`q=${encodeURIComponent(belt.unit_number.toLowerCase())}`)).toContain('beltRidge');
    expect(await sorted('q=zzz')).toEqual([]);
    // A wildcard of SQL is a character like any other here.
    expect(await sorted(`q=${encodeURIComponent('%')}`)).toEqual([]);
  });

  it('finds part of a unit number among few vehicles and among many similar ones', async () => {
    const ids = await seed({ one: {}, two: {} });
    await sql(
      `insert into vehicles (fleet_id, id, unit_number, duty, status)
       select $1, gen_random_uuid(), 'Spare T-' || n, 'normal', 'in-use' from generate_series(1, 250) n`,
      [fleet.fleetId],
    );
    expect((await named(ids, '/v1/due-list?q=t-')).sort()).toEqual(['one', 'two']);
    expect(await named(ids, '/v1/due-list?q=spare')).toEqual([]);
  });

  it('keeps to the day on which its cursor was made, so midnight skips nothing', async () => {
    // Denver is UTC-6 in April: 05:59Z is 23:59 there, on the day before.
    service.clock.moveTo('2026-04-03T05:59:00Z');
    const ids = await seed({
      first: { windowOpensOn: '2026-03-01', dueOn: '2026-04-05', lateOn: '2026-04-19' },
      second: { windowOpensOn: '2026-03-01', dueOn: '2026-04-06', lateOn: '2026-04-19' },
      opensAtMidnight: { windowOpensOn: '2026-04-03', dueOn: '2026-04-20', lateOn: '2026-05-01' },
    });
    const before = await fleet.dashboard.get('/v1/due-list?limit=1');
    expect(before.body.asOf).toBe(TODAY);
    service.clock.moveTo('2026-04-03T06:01:00Z');
    const after = await fleet.dashboard.get(`/v1/due-list?limit=1&cursor=${before.body.next}`);
    expect(after.body).toMatchObject({ asOf: TODAY, next: null });
    expect(after.body.items.map((item: any) => [ids.get(item.id), item.remaining.days])).toEqual([
      ['second', 4],
    ]);
    const anew = await fleet.dashboard.get('/v1/due-list');
    expect(anew.body.asOf).toBe('2026-04-03');
    expect(anew.body.items).toHaveLength(3);
    expect(before.headers.get('link')).toBe(
      `</v1/due-list?limit=1&cursor=${encodeURIComponent(before.body.next)}>; rel="next"`,
    );
  });

  it('shows every line once when many are due on one day', async () => {
    const ids = await seed(Object.fromEntries(Array.from({ length: 7 }, (_, n) => [`line${n}`, {}])));
    const seen: string[] = [];
    for (let cursor: string | null = ''; cursor !== null;) {
      const { body }: { body: any } = await fleet.dashboard.get(
        `/v1/due-list?limit=2${cursor && `&cursor=${cursor}`}`,
      );
      seen.push(...body.items.map((item: any) => item.id));
      cursor = body.next;
    }
    expect(seen).toEqual([...ids.keys()].sort());
  });

  it('answers 400 to a cursor with other filters, from another list or made up, and to unknown parameters', async () => {
    await seed({ one: {}, two: {} });
    const { body } = await fleet.dashboard.get('/v1/due-list?limit=1');
    const depots = await fleet.dashboard.get('/v1/depots?limit=1');
    expect(depots.status).toBe(200);
    const [digest] = JSON.parse(Buffer.from(body.next, 'base64url').toString());
    const madeUp = Buffer.from(JSON.stringify([digest, '2026-02-31', TODAY, uuidv7()])).toString('base64url');
    for (const query of [
      `cursor=${body.next}&state=late`,
      `cursor=${body.next}&component=coolant`,
      `cursor=${body.next}&q=T`,
      `cursor=${madeUp}`,
      'cursor=nonsense',
      'state=overdue',
      'state=late,',
      'state=late&state=due',
      'depotId=7',
      'component=engine',
      'dueBefore=2026-02-30',
      'sort=unitNumber',
      'limit=0',
      'limit=201',
      'colour=red',
    ]) {
      const refused = await fleet.dashboard.get(`/v1/due-list?${query}`);
      expect([query, refused.status]).toEqual([query, 400]);
      expect(refused.body.errors[0].parameter).toBe(query.split('=')[0]);
    }
    expect((await fleet.dashboard.get(`/v1/due-list?limit=2&cursor=${body.next}`)).status).toBe(200);
  });

  it('shows another fleet nothing, and is open to every role that reads', async () => {
    await seed({ one: {} });
    const other = await service.newFleet();
    expect((await other.manager.get('/v1/due-list')).body.items).toEqual([]);
    expect((await service.client(null).get('/v1/due-list')).status).toBe(401);
    for (const client of [fleet.manager, fleet.mechanic, fleet.dashboard])
      expect((await client.get('/v1/due-list')).body.items).toHaveLength(1);
  });

  it('answers 304 until something changes or the next day begins', async () => {
    await seed({ one: {} });
    for (const path of ['/v1/due-list', '/v1/due-list/summary']) {
      const first = await fleet.dashboard.get(path);
      const etag = first.headers.get('etag') ?? '';
      expect(etag).toMatch(/^W\//);
      expect(first.headers.get('cache-control')).toBe('private, no-cache');
      const again = await fleet.dashboard.get(path, { 'if-none-match': `"x", ${etag}` });
      expect([again.status, again.body, again.headers.get('etag')]).toEqual([304, '', etag]);
      expect((await fleet.manager.get(path, { 'if-none-match': etag })).status).toBe(200);
      expect((await fleet.dashboard.get(`${path}?units=si`, { 'if-none-match': etag })).status).toBe(200);
      await depot(`Depot ${path}`);
      const changed = await fleet.dashboard.get(path, { 'if-none-match': etag });
      expect(changed.status).toBe(200);
      service.clock.moveTo('2026-04-03T06:00:00Z');
      const nextDay = await fleet.dashboard.get(path, {
        'if-none-match': changed.headers.get('etag') ?? '',
      });
      expect(nextDay.status).toBe(200);
      service.clock.moveTo(`${TODAY}T15:00:00Z`);
    }
  });

  it('links to the next page if it sends one, computed or cached, but not with a 304', async () => {
    await seed({ one: {}, two: {} });
    const path = '/v1/due-list?limit=1';
    const first = await fleet.dashboard.get(path);
    const link = first.headers.get('link');
    expect(link).toMatch(/rel="next"/);
    const known = { 'if-none-match': first.headers.get('etag') ?? '' };
    for (let times = 0; times < 3; times++) {
      const spared = await fleet.dashboard.get(path, known);
      expect([spared.status, spared.headers.get('link')]).toEqual([304, null]);
      const sent = await fleet.dashboard.get(path);
      expect([sent.status, sent.headers.get('link'), sent.body]).toEqual([200, link, first.body]);
    }
  });

  it('counts by state, component and depot, and counts work done on time and late', async () => {
    const ridge = await depot('Ridge');
    const ids = await seed({
      ...ONE_OF_EACH,
      belt: { component: 'drive-belt', depotId: ridge, dueOn: '2026-03-01', lateOn: '2026-03-15' },
    });
    const [lineId] = [...ids].find(([, name]) => name === 'belt') ?? [];
    const done = (performedOn: string, lateOn: string, voided = false): Promise<unknown> =>
      sql(
        `insert into completions (fleet_id, job_report_id, due_line_id, performed_on, window_opens_on, due_on, late_on, voided)
         values ($1, $2, $3, $4, $5, $5, $5, $6)`,
        [fleet.fleetId, uuidv7(), lineId, performedOn, lateOn, voided],
      );
    await done('2026-01-02', '2026-01-03'); // 90 days ago, today counted: the first of them is 3 January
    await done('2026-01-03', '2026-01-04'); // on time
    await done('2026-03-01', '2026-03-01'); // late: on the first late day
    await done(TODAY, '2026-04-01'); // late
    await done(TODAY, '2026-04-01', true); // voided: never happened
    const { body } = await fleet.dashboard.get('/v1/due-list/summary');
    const pumps = { late: 2, due: 4, window: 1, 'not-due': 2, 'no-baseline': 1 };
    const belts = { late: 1, due: 0, window: 0, 'not-due': 0, 'no-baseline': 0 };
    expect(body).toEqual({
      asOf: TODAY,
      states: { ...pumps, late: 3 },
      components: [
        { component: 'drive-belt', states: belts },
        { component: 'water-pump', states: pumps },
      ],
      depots: [
        { depotId: ridge, name: 'Ridge', states: belts },
        { depotId: null, name: null, states: pumps },
      ],
      done: { from: '2026-01-03', to: TODAY, onTime: 1, late: 2 },
    });
    const ridgeAlone = await fleet.dashboard.get(`/v1/due-list/summary?depotId=${ridge}`);
    expect(ridgeAlone.body.states).toEqual(belts);
    expect(ridgeAlone.body.components).toHaveLength(1);
    expect(ridgeAlone.body.done.onTime).toBe(1);
    const pumpsAlone = await fleet.dashboard.get('/v1/due-list/summary?component=water-pump');
    expect(pumpsAlone.body.states).toEqual(pumps);
    expect(pumpsAlone.body.done).toMatchObject({ onTime: 0, late: 0 });
    const other = await service.newFleet();
    expect((await other.manager.get('/v1/due-list/summary')).body).toMatchObject({
      states: { late: 0, due: 0, window: 0, 'not-due': 0, 'no-baseline': 0 },
      components: [],
      depots: [],
    });
    expect((await fleet.dashboard.get('/v1/due-list/summary?state=late')).status).toBe(400);
  });
});
