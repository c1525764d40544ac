import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const ALL_STATES = 'late,due,window,not-due,no-baseline';

// Seven days as the most: common practice, no source.
describe('a line that a reading opened at once', () => {
  let service: Service;
  let fleet: FleetHandle;
  let planId: string;
  let count = 0;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
    const plan = await fleet.manager.post('/v1/interval-plans', {
      name: 'Vans',
      intervals: [{ component: 'coolant', action: 'replace', everyMonths: 12 }],
    });
    planId = plan.body.id;
  });

  /** In service so long ago that its coolant has been late for a year. */
  async function lateVan(): Promise<string> {
    const { body } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: `V-${++count}`, intervalPlanId: planId, inServiceOn: '2024-03-20' },
    });
    return body.id;
  }

  /** A belt that does not sit in its grooves. */
  async function failBelt(vehicleId: string): Promise<any> {
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ kind: 'belt-check', ribsSeated: false, takenAt: service.clock.now().toISOString() },
    });
    expect([status, body.evaluation?.verdict]).toEqual([201, 'fail']);
    const { items } = (await fleet.dashboard.get(`/v1/due-list?vehicleId=${vehicleId}&state=${ALL_STATES}`))
      .body;
    return items.find(({ atOnce }: any) => atOnce);
  }

  async function pages(query: string): Promise<string[]> {
    const found: string[] = [];
    for (let cursor = ''; ;) {
      const { status, body } = await fleet.dashboard.get(`/v1/due-list?${query}${cursor}`);
      expect(status).toBe(200);
      found.push(...body.items.map((item: any) => `${item.vehicle.unitNumber} ${item.atOnce}`));
      if (body.next === null) return found;
      cursor = `&cursor=${body.next}`;
    }
  }

  it('comes before lines that have been late for a year, on every page and in the spreadsheet', async () => {
    const vans = [await lateVan(), await lateVan(), await lateVan()];
    const [first, second] = [await failBelt(vans[2] ?? ''), await failBelt(vans[1] ?? '')];
    expect(first).toMatchObject({
      state: 'due',
      dueOn: '2026-04-02',
      causes: [{ text: expect.any(String) }],
    });
    const unsafe = [first, second].sort((a, b) => (a.id < b.id ? -1 : 1));
    const late = (await pages(`state=late&limit=50`)).map((each) => each.split(' ')[0]);
    expect(late).toHaveLength(3);
    const expected = [
      ...unsafe.map(({ vehicle }) => `${vehicle.unitNumber} true`),
      ...late.map((unitNumber) => `${unitNumber} false`),
    ];
    for (const limit of [50, 1, 2, 3])
      for (const states of ['', '&state=late,due', `&state=${ALL_STATES}`])
        expect(await pages(`limit=${limit}${states}`)).toEqual(expected);
    expect(await pages('state=not-due,window&limit=1')).toEqual([]);
    const csv = await fleet.dashboard.get('/v1/due-list.csv');
    const rows: string[] = csv.body.trim().split('\r\n');
    expect(rows.map((row) => /,(true|false),/.exec(row)?.[0]).length).toBe(6);
    expect(rows[0]).toContain(',atOnce,causes,');
    expect(rows[1]).toContain(unsafe[0]?.vehicle.unitNumber);
    expect(rows[2]).toContain(unsafe[1]?.vehicle.unitNumber);
  });

  it('refuses a cursor made before such lines came first', async () => {
    await lateVan();
    await lateVan();
    const { body } = await fleet.dashboard.get('/v1/due-list?limit=1');
    const decoded = JSON.parse(Buffer.from(body.next, 'base64url').toString());
    const forged = Buffer.from(JSON.stringify(spliced(decoded))).toString('base64url');
    expect((await fleet.dashboard.get(`/v1/due-list?limit=1&cursor=${forged}`)).status).toBe(400);
  });

  it('can be postponed by at most 7 days, and then comes back to the top', async () => {
    const line = await failBelt(await lateVan());
    const postpone = (body: object, client = fleet.manager) =>
      client.post(`/v1/due-list/${line.id}/postpone`, body);
    expect(
      (await postpone({ until: '2026-04-05', reason: 'waits for a tensioner' }, fleet.mechanic)).status,
    ).toBe(403);
    expect((await postpone({ until: '2026-04-05' })).status).toBe(422);
    const tooLong = await postpone({ until: '2026-04-10', reason: 'waits for a tensioner' });
    expect([tooLong.status, tooLong.body.errors]).toEqual([
      422,
      [
        expect.objectContaining({
          pointer: '/until',
          code: 'postpone-until-too-late-at-once',
          detail: expect.stringMatching(
            /^2026-04-10 is too late: this line can be postponed by at most 7 days, to 2026-04-09\. \S/,
          ),
        }),
      ],
    ]);
    const put = await postpone({ until: '2026-04-09', reason: 'waits for a tensioner' });
    expect([put.status, put.body.postponedUntil, put.body.state]).toEqual([200, '2026-04-09', 'window']);
    service.clock.moveTo('2026-04-09T15:00:00Z');
    const { body } = await fleet.dashboard.get('/v1/due-list');
    expect(body.items[0]).toMatchObject({ id: line.id, atOnce: true, state: 'due' });
    const other = body.items[1];
    const year = await fleet.manager.post(`/v1/due-list/${other.id}/postpone`, {
      ...{ until: '2027-04-09', reason: 'sold next year' },
    });
    expect(year.status).toBe(200);
  });

  it('can be postponed to a counter value only if that is reached within 7 days', async () => {
    const vehicleId = await lateVan();
    const at = Date.parse(NOW);
    const readings = Array.from({ length: 20 }, (_, week) => ({
      ...{ vehicleId, readAt: new Date(at - week * 7 * 86_400_000).toISOString() },
      odometer: { value: 9000 - week * 280, unit: 'mi' },
    }));
    expect((await fleet.mechanic.post('/v1/usage-readings', { readings })).body.accepted).toBe(20);
    const line = await failBelt(vehicleId);
    // 40 mi a day: 9,400 mi in ten days, 9,200 in five.
    const postpone = (value: number) =>
      fleet.manager.post(`/v1/due-list/${line.id}/postpone`, {
        ...{ untilUsage: { odometer: { value, unit: 'mi' } }, reason: 'waits for a tensioner' },
      });
    const tooFar = await postpone(9400);
    expect([tooFar.status, tooFar.body.errors?.[0]?.detail]).toEqual([
      422,
      expect.stringMatching(/not reached within 7 days/),
    ]);
    expect((await postpone(9200)).body).toMatchObject({ postponedUntil: '2026-04-07', atOnce: true });
  });
});

/** Without the part of the list. */
function spliced(decoded: unknown): unknown {
  const clone = structuredClone(decoded);
  const lists = Array.isArray(clone) ? [clone] : Object.values(clone as object).filter(Array.isArray);
  for (const list of lists) list.splice(1, 1);
  return clone;
}
