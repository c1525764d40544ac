import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const DAY = 86_400_000;

// Twelve months as the most, and once in a cycle: common practice, no source. All dates are
// reckoned by hand.
describe('postponing a due line', () => {
  let service: Service;
  let fleet: FleetHandle;
  let planId: string;
  let count = 0;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
    const plan = await fleet.manager.post('/v1/interval-plans', {
      name: 'Vans',
      intervals: [
        {
          component: 'coolant',
          action: 'test',
          everyMonths: 12,
          everyDistance: { value: 15_000, unit: 'mi' },
          window: { days: 20, distance: { value: 500, unit: 'mi' } },
          grace: { days: 10, distance: { value: 400, unit: 'mi' } },
        },
      ],
    });
    planId = plan.body.id;
  });
  afterAll(() => service.stop());
  beforeEach(() => service.clock.moveTo('2026-04-02T15:00:00Z'));

  /** In service on 20 March 2025 at 0 mi, read each week at 40 mi a day: due on 20 March 2026. */
  async function lateVan(
    extra: object = {},
    lastMi = 9000,
  ): Promise<{ vehicleId: string; lineId: string; unitNumber: string }> {
    const unitNumber = `V-${++count}`;
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      unitNumber,
      intervalPlanId: planId,
      inServiceOn: '2025-03-20',
      inServiceOdometer: { value: 0, unit: 'mi' },
      ...extra,
    });
    expect(vehicle.status).toBe(201);
    const vehicleId = vehicle.body.id;
    if (lastMi > 0) {
      const at = service.clock.now().getTime();
      const readings = Array.from({ length: 20 }, (_, week) => ({
        vehicleId,
        readAt: new Date(at - week * 7 * DAY).toISOString(),
        odometer: { value: lastMi - week * 280, unit: 'mi' },
      }));
      expect((await fleet.mechanic.post('/v1/usage-readings', { readings })).body.accepted).toBe(20);
    }
    const [line] = await linesOf(vehicleId);
    return { vehicleId, lineId: line.id, unitNumber };
  }

  async function linesOf(vehicleId: string): Promise<any[]> {
    const { body } = await fleet.dashboard.get(
      `/v1/due-list?vehicleId=${vehicleId}&state=late,due,window,not-due,no-baseline`,
    );
    return body.items;
  }

  const postpone = (lineId: string, body: object, client = fleet.manager) =>
    client.post(`/v1/due-list/${lineId}/postpone`, body);

  it('moves due day, window and grace to the new day, and shows so in the due list', async () => {
    const { vehicleId, lineId } = await lateVan();
    expect((await linesOf(vehicleId))[0]).toMatchObject({
      state: 'late',
      dueOn: '2026-03-20',
      postponedUntil: null,
    });
    const { status, body } = await postpone(lineId, {
      until: '2026-05-11',
      reason: 'waits for a thermostat',
    });
    expect([status, body]).toEqual([200, (await linesOf(vehicleId))[0]]);
    // 20 days of window and 10 of grace around 11 May.
    expect(body).toMatchObject({
      id: lineId,
      state: 'not-due',
      trigger: 'time',
      windowOpensOn: '2026-04-21',
      dueOn: '2026-05-11',
      lateOn: '2026-05-21',
      dueAt: { odometer: null, engineHours: null, date: '2026-05-11' },
      postponedUntil: '2026-05-11',
    });
    for (const [at, state] of [
      ['2026-04-21T15:00:00Z', 'window'],
      ['2026-05-11T15:00:00Z', 'due'],
      ['2026-05-21T15:00:00Z', 'late'],
    ] as const) {
      service.clock.moveTo(at);
      expect((await linesOf(vehicleId))[0].state).toBe(state);
    }
  });

  it('can go to an odometer value, by the day on which that is projected', async () => {
    const { lineId } = await lateVan();
    const { status, body } = await postpone(lineId, {
      untilUsage: { odometer: { value: 16_000, unit: 'mi' } },
      reason: 'before the mountain season',
    });
    expect(status).toBe(200);
    // 7,000 mi at 40 mi a day: 175 days after 2 April.
    expect(body).toMatchObject({
      trigger: 'distance',
      dueOn: '2026-09-24',
      postponedUntil: '2026-09-24',
      dueAt: { odometer: { value: 16_000, unit: 'mi' }, date: '2027-04-02' },
    });
  });

  it('applies to that cycle only: work done since ends it', async () => {
    const { vehicleId, lineId } = await lateVan();
    await postpone(lineId, { until: '2026-05-11', reason: 'parts' });
    const job = await fleet.mechanic.post('/v1/job-reports', {
      vehicleId,
      performedAt: '2026-04-02T14:00:00Z',
      lines: [{ component: 'coolant', action: 'test' }],
    });
    expect(job.body.outcome.resets).toEqual([lineId]);
    expect((await linesOf(vehicleId))[0]).toMatchObject({
      id: lineId,
      dueOn: '2027-04-02',
      postponedUntil: null,
    });
    expect((await postpone(lineId, { until: '2027-05-01', reason: 'again' })).status).toBe(200);
    // Without the job the first cycle goes on, and with it the day it was put off to.
    await fleet.manager.post(`/v1/job-reports/${job.body.id}/void`, { reason: 'wrong van' });
    expect((await linesOf(vehicleId))[0]).toMatchObject({
      dueOn: '2026-05-11',
      postponedUntil: '2026-05-11',
    });
  });

  it('makes work count as on time by the new day', async () => {
    const { vehicleId, lineId } = await lateVan();
    await postpone(lineId, { until: '2026-05-11', reason: 'parts' });
    await fleet.mechanic.post('/v1/job-reports', {
      vehicleId,
      performedAt: '2026-04-02T14:00:00Z',
      lines: [{ component: 'coolant', action: 'test' }],
    });
    const { rows } = await service.database.admin.query(
      'select due_on::text, late_on::text from completions where due_line_id = $1',
      [lineId],
    );
    expect(rows).toEqual([{ due_on: '2026-05-11', late_on: '2026-05-21' }]);
  });

  it('is possible once in a cycle: the second time is refused', async () => {
    const { lineId } = await lateVan();
    await postpone(lineId, { until: '2026-05-11', reason: 'parts' });
    const { status, body } = await postpone(lineId, { until: '2026-06-11', reason: 'more parts' });
    expect([status, body.type]).toEqual([409, '/problems/already-postponed']);
    expect(body.detail).toContain('2026-05-11');
  });

  describe('withdrawn', () => {
    const withdraw = (lineId: string, client = fleet.manager) =>
      client.post(`/v1/due-list/${lineId}/withdraw-postponement`, { reason: 'the part came' });

    it('counts for nothing: the line is due as before, and may be postponed anew', async () => {
      const { vehicleId, lineId } = await lateVan();
      const [before] = await linesOf(vehicleId);
      await postpone(lineId, { until: '2026-05-11', reason: 'parts' });
      const { status, body } = await withdraw(lineId);
      expect([status, body]).toEqual([200, before]);
      expect((await linesOf(vehicleId))[0]).toEqual(before);
      const again = await postpone(lineId, { until: '2026-06-11', reason: 'still no part' });
      expect([again.status, again.body.postponedUntil]).toEqual([200, '2026-06-11']);
      const { items } = (await fleet.manager.get(`/v1/vehicles/${vehicleId}/history`)).body;
      const told = items.filter(({ what }: any) => what === 'postponement');
      expect(told.map(({ reason, withdrawnReason }: any) => [reason, withdrawnReason]).sort()).toEqual([
        ['parts', 'the part came'],
        ['still no part', null],
      ]);
    });

    it('is refused where nothing is postponed, and to mechanics', async () => {
      const { lineId } = await lateVan();
      const { status, body } = await withdraw(lineId);
      expect([status, body.type]).toEqual([409, '/problems/not-postponed']);
      await postpone(lineId, { until: '2026-05-11', reason: 'parts' });
      expect((await withdraw(lineId, fleet.mechanic)).status).toBe(403);
      expect((await withdraw(lineId)).status).toBe(200);
      expect((await withdraw(lineId)).status).toBe(409);
    });

    it('is recorded for the audit', async () => {
      const { lineId } = await lateVan();
      await postpone(lineId, { until: '2026-05-11', reason: 'parts' });
      await withdraw(lineId);
      const { items } = (await fleet.manager.get('/v1/audit?kind=due-line&limit=200')).body;
      const own = items.filter(({ subjectId }: any) => subjectId === lineId);
      expect(own.map(({ action }: any) => action).sort()).toEqual(['postponed', 'postponement-withdrawn']);
    });
  });

  describe('of many lines at once', () => {
    const many = (ids: string[], body: object = {}, headers = {}) =>
      fleet.manager.post(
        '/v1/due-list/postpone',
        { ids, until: '2026-05-11', reason: 'the bay is closed', ...body },
        headers,
      );

    it('says of each line what became of it, and a refused one keeps no other', async () => {
      const [first, second, third] = [await lateVan(), await lateVan(), await lateVan()];
      await postpone(second.lineId, { until: '2026-04-20', reason: 'parts' });
      const nobody = '00000000-0000-4000-8000-000000000000';
      const ids = [first.lineId, second.lineId, nobody, third.lineId];
      const { status, body } = await many(ids);
      expect([status, body.done, body.refused]).toEqual([200, 2, 2]);
      expect(
        body.results.map((one: any) => [one.id, one.status, one.line?.postponedUntil ?? one.problem.type]),
      ).toEqual([
        [ids[0], 200, '2026-05-11'],
        [ids[1], 409, '/problems/already-postponed'],
        [ids[2], 404, '/problems/not-found'],
        [ids[3], 200, '2026-05-11'],
      ]);
      expect((await linesOf(second.vehicleId))[0].postponedUntil).toBe('2026-04-20');
      const undone = await fleet.manager.post('/v1/due-list/withdraw-postponements', {
        ids: [first.lineId, third.lineId, nobody],
        reason: 'the bay is open',
      });
      expect([undone.status, undone.body.done, undone.body.refused]).toEqual([200, 2, 1]);
      for (const { vehicleId } of [first, third])
        expect((await linesOf(vehicleId))[0]).toMatchObject({ state: 'late', postponedUntil: null });
    });

    it('holds each line to the bounds that it has alone', async () => {
      const { lineId } = await lateVan();
      const { body } = await many([lineId], { until: '2030-01-01' });
      expect(body.results).toMatchObject([
        { status: 422, problem: { errors: [{ pointer: '/until', code: 'postpone-until-too-late' }] } },
      ]);
    });

    it('answers the same request once more with the same, and does nothing twice', async () => {
      const [one, other] = [await lateVan(), await lateVan()];
      const key = { 'idempotency-key': 'many-lines-1' };
      const first = await many([one.lineId, other.lineId], {}, key);
      expect(first.body.done).toBe(2);
      expect((await many([one.lineId, other.lineId], {}, key)).body).toEqual(first.body);
    });

    it('takes at least one id and at most 200, each once', async () => {
      const { lineId } = await lateVan();
      const ids = Array.from(
        { length: 201 },
        (_, index) => `00000000-0000-4000-8000-${`${index}`.padStart(12, '0')}`,
      );
      for (const wrong of [[], ids, [lineId, lineId]]) {
        const { status, body } = await many(wrong);
        expect([status, body.errors[0].pointer]).toEqual([422, '/ids']);
      }
    });
  });

  it('ends by itself as the days go by, and so does the shelving of an alert', async () => {
    const { vehicleId, lineId } = await lateVan();
    await postpone(lineId, { until: '2026-04-09', reason: 'parts' });
    for (const takenAt of ['2026-03-10T12:00:00Z', '2026-03-20T12:00:00Z', '2026-03-28T12:00:00Z'])
      await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 1.5, unit: 'qt' }, toMark: true, planned: false },
      });
    const alerts = async (status: string): Promise<any[]> =>
      (await fleet.manager.get(`/v1/loss-alerts?vehicleId=${vehicleId}&status=${status}`)).body.items;
    const [alert] = await alerts('raised');
    expect(alert.kind).toBe('repeat-top-ups');
    const shelved = await fleet.manager.post(`/v1/loss-alerts/${alert.id}/shelve`, {
      ...{ until: '2026-04-09T12:00:00Z', note: 'hose ordered' },
    });
    expect(shelved.status).toBe(200);
    const seen: unknown[] = [];
    for (const at of [
      '2026-04-03T15:00:00Z',
      '2026-04-08T15:00:00Z',
      '2026-04-09T15:00:00Z',
      '2026-04-20T15:00:00Z',
    ]) {
      service.clock.moveTo(at);
      const [line] = await linesOf(vehicleId);
      seen.push([
        at.slice(5, 10),
        line.state,
        (await alerts('shelved')).length,
        (await alerts('raised')).length,
      ]);
    }
    // Twenty days of window before 9 April, and ten of grace after it.
    expect(seen).toEqual([
      ['04-03', 'window', 1, 0],
      ['04-08', 'window', 1, 0],
      ['04-09', 'due', 0, 1],
      ['04-20', 'late', 0, 1],
    ]);
  });

  it('lets only one of two simultaneous requests through', async () => {
    const { lineId } = await lateVan();
    const answers = await Promise.all(
      ['2026-05-11', '2026-05-12', '2026-05-13'].map((until) => postpone(lineId, { until, reason: 'parts' })),
    );
    expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([200, 409, 409]);
  });

  it.each([
    [{ reason: 'x' }, '/until'],
    [
      { until: '2026-05-11', untilUsage: { odometer: { value: 16_000, unit: 'mi' } }, reason: 'x' },
      '/untilUsage',
    ],
    [{ untilUsage: {}, reason: 'x' }, '/untilUsage'],
    [{ until: '2026-05-11' }, '/reason'],
    [{ until: '2026-05-11', reason: '  ' }, '/reason'],
    [{ until: '2026-04-01', reason: 'x' }, '/until'],
    [{ until: '2027-04-03', reason: 'x' }, '/until'],
    [{ untilUsage: { odometer: { value: 15_000, unit: 'mi' } }, reason: 'x' }, '/untilUsage/odometer'],
    [{ untilUsage: { odometer: { value: 60_000, unit: 'mi' } }, reason: 'x' }, '/untilUsage'],
    [{ untilUsage: { engineHours: { value: 900, unit: 'h' } }, reason: 'x' }, '/untilUsage'],
  ])('refuses %j', async (body, pointer) => {
    const { lineId, vehicleId } = await lateVan();
    const before = await linesOf(vehicleId);
    const refused = await postpone(lineId, body);
    expect([refused.status, refused.body.errors?.[0]?.pointer]).toEqual([422, pointer]);
    expect(await linesOf(vehicleId)).toEqual(before);
  });

  it('refuses a day that is not after the due day, and one that is reached before', async () => {
    // In service on 20 June 2025: due on 20 June 2026, in eleven weeks.
    const { lineId } = await lateVan({ inServiceOn: '2025-06-20' });
    const day = await postpone(lineId, { until: '2026-06-20', reason: 'x' });
    expect([day.status, day.body.errors[0].pointer]).toEqual([422, '/until']);
    // 15,200 mi would be reached on 4 September, after 20 June; a van that has run 14,000 reaches
    // it on 2 May.
    const nearer = await lateVan({ inServiceOn: '2025-06-20' }, 14_000);
    // 1,000 mi are left at 40 mi a day: due on 27 April by distance.
    expect((await linesOf(nearer.vehicleId))[0].dueOn).toBe('2026-04-27');
    expect(
      (
        await postpone(nearer.lineId, {
          untilUsage: { odometer: { value: 15_200, unit: 'mi' } },
          reason: 'x',
        })
      ).body.dueOn,
    ).toBe('2026-05-02');
  });

  it('refuses lines without a baseline, without a date, closed lines, and those of another fleet', async () => {
    const bare = await lateVan({ inServiceOn: null, inServiceOdometer: null }, 0);
    const none = await postpone(bare.lineId, { until: '2026-05-11', reason: 'x' });
    expect([none.status, none.body.type]).toEqual([409, '/problems/no-baseline']);

    const { lineId, vehicleId } = await lateVan();
    await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { status: 'disposed' });
    const closed = await postpone(lineId, { until: '2026-05-11', reason: 'x' });
    expect([closed.status, closed.body.type]).toEqual([409, '/problems/not-open']);

    const other = await service.newFleet();
    expect((await postpone(lineId, { until: '2026-05-11', reason: 'x' }, other.manager)).status).toBe(404);
    for (const client of [fleet.mechanic, fleet.dashboard])
      expect((await postpone(lineId, { until: '2026-05-11', reason: 'x' }, client)).status).toBe(403);
  });

  it('works for a follow-up, whose window stays open', async () => {
    const { vehicleId } = await lateVan();
    await fleet.mechanic.post('/v1/job-reports', {
      vehicleId,
      performedAt: '2026-04-02T14:00:00Z',
      odometer: { value: 9000, unit: 'mi' },
      lines: [{ component: 'coolant', action: 'test' }],
      readings: [
        {
          kind: 'hold-test',
          method: 'vacuum',
          start: { value: 22, unit: 'inHg' },
          end: { value: 17, unit: 'inHg' },
          minutes: 5,
        },
      ],
    });
    const retest = (await linesOf(vehicleId)).find(({ origin }) => origin === 'follow-up');
    expect(retest).toMatchObject({ action: 'test', state: 'due', dueOn: '2026-04-02', lateOn: '2026-04-09' });
    const { body } = await postpone(retest.id, { until: '2026-04-08', reason: 'no gauge before' });
    // Due that day and late after seven more, as usual for what failed (common practice, no
    // source).
    expect(body).toMatchObject({
      state: 'window',
      windowOpensOn: '2026-04-02',
      dueOn: '2026-04-08',
      lateOn: '2026-04-15',
      postponedUntil: '2026-04-08',
    });
  });

  it('answers the same request again like the first time', async () => {
    const { lineId } = await lateVan();
    const headers = { 'idempotency-key': 'put-off-once' };
    const body = { until: '2026-05-11', reason: 'parts' };
    const first = await fleet.manager.post(`/v1/due-list/${lineId}/postpone`, body, headers);
    const second = await fleet.manager.post(`/v1/due-list/${lineId}/postpone`, body, headers);
    expect([first.status, second.status]).toEqual([200, 200]);
    expect(second.body).toEqual(first.body);
  });

  it('records who did it, when, why, and both due points, and shows it in the history', async () => {
    const { lineId, vehicleId } = await lateVan();
    await postpone(lineId, { until: '2026-05-11', reason: 'waits for a thermostat' });
    const { rows } = await service.database.admin.query(
      `select reason, token_id is not null as "hasToken", at, until_on::text, old_due_on::text, old_due_date::text,
         round(old_due_odometer_lifetime_km) as km, new_due_on::text
       from postponements where due_line_id = $1`,
      [lineId],
    );
    expect(rows).toEqual([
      {
        reason: 'waits for a thermostat',
        hasToken: true,
        at: new Date('2026-04-02T15:00:00Z'),
        until_on: '2026-05-11',
        old_due_on: '2026-03-20',
        old_due_date: '2026-03-20',
        km: 24_140,
        new_due_on: '2026-05-11',
      },
    ]);
    const { body } = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/history`);
    expect(body.items.find(({ what }: any) => what === 'postponement')).toMatchObject({
      at: '2026-04-02T15:00:00.000Z',
      dueLineId: lineId,
      component: 'coolant',
      action: 'test',
      reason: 'waits for a thermostat',
      oldDueOn: '2026-03-20',
      newDueOn: '2026-05-11',
    });
    expect((await fleet.manager.delete(`/v1/vehicles/${vehicleId}`)).status).toBe(409);
  });

  it('survives later readings, even late ones, and a rebuild finds no difference', async () => {
    const { lineId, vehicleId } = await lateVan();
    await postpone(lineId, { until: '2026-05-11', reason: 'parts' });
    service.clock.moveTo('2026-04-20T15:00:00Z');
    for (const [readAt, value] of [
      ['2026-04-19T15:00:00Z', 9680],
      ['2026-04-10T15:00:00Z', 9320],
    ] as const)
      await fleet.mechanic.post('/v1/usage-readings', {
        readings: [{ vehicleId, readAt, odometer: { value, unit: 'mi' } }],
      });
    expect((await linesOf(vehicleId))[0]).toMatchObject({
      dueOn: '2026-05-11',
      postponedUntil: '2026-05-11',
    });
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.vehicles).toBeGreaterThan(10);
    expect(result.differences).toEqual([]);
  });
});
