import { randomUUID } from 'node:crypto';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('the report of a month', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  it('counts what was done early, in its window, in the grace and late, and says how', async () => {
    const { depotId } = await postScenario(fleet);
    const { items } = (await fleet.manager.get('/v1/due-list?state=late,due,window,not-due')).body;
    const pump = items.find((line: any) => line.component === 'water-pump');
    const belt = items.find((line: any) => line.component === 'drive-belt');
    const done = (line: any, performedOn: string, voided = false) =>
      service.database.admin.query(
        `insert into completions (fleet_id, job_report_id, due_line_id, performed_on, window_opens_on, due_on, late_on, voided)
         values ($1, $2, $3, $4, '2026-03-05', '2026-03-10', '2026-03-20', $5)`,
        [fleet.fleetId, randomUUID(), line.id, performedOn, voided],
      );
    // The borders of each: the last early day, both ends of the window and of the grace, the first late day.
    for (const day of ['04', '05', '10', '11', '19']) await done(pump, `2026-03-${day}`);
    for (const day of ['20', '31']) await done(belt, `2026-03-${day}`);
    await done(belt, '2026-03-15', true);
    await done(belt, '2026-02-28');
    await done(belt, '2025-03-31');
    const { status, body } = await fleet.dashboard.get('/v1/reports/month?of=2026-03-17');
    expect([status, body.month]).toEqual([200, '2026-03']);
    // Days after the due date: 1, 9, 10 and 21, so the median is 9.5.
    const all = {
      ...{ done: 7, early: 1, inWindow: 2, inGrace: 2, late: 2, medianDaysAfterDue: 9.5 },
      // The late ones: 10 and 21 days.
      ...{ medianDaysLate: 15.5, worstDaysLate: 21 },
    };
    expect(body.total).toEqual({
      ...all,
      shareInWindow: expect.closeTo(2 / 7, 9),
      shareInGrace: expect.closeTo(2 / 7, 9),
      repeatJobs: { work: 0, repeats: 0, share: null },
      failedReadings: {
        ...{ failed: 0, closed: 0, closedOtherwise: 0, open: 0, medianDaysOpen: null, longestDaysOpen: null },
      },
    });
    expect(body.depots).toMatchObject([{ key: depotId, name: 'Ridge', ...all }]);
    expect(body.duties).toMatchObject([{ key: 'severe', ...all }]);
    expect(body.components).toMatchObject([
      { key: 'drive-belt', done: 2, late: 2, medianDaysAfterDue: 15.5 },
      { key: 'water-pump', done: 5, early: 1, inWindow: 2, inGrace: 2, medianDaysAfterDue: 5 },
    ]);
    expect(body.trend.map(({ month, done: count }: any) => [month, count])).toEqual([
      ...['2025-04', '2025-05', '2025-06', '2025-07', '2025-08', '2025-09'].map((month) => [month, 0]),
      ...['2025-10', '2025-11', '2025-12', '2026-01'].map((month) => [month, 0]),
      ...[
        ['2026-02', 1],
        ['2026-03', 7],
      ],
    ]);
    for (const { text } of Object.values<any>(body.definitions)) expect(text.length).toBeGreaterThan(30);
    const empty = (await fleet.dashboard.get('/v1/reports/month')).body;
    expect([empty.month, empty.total.shareInWindow, empty.depots]).toEqual(['2026-04', null, []]);
    const elsewhere = await fleet.manager.post('/v1/depots', { name: 'Elsewhere' });
    const bound = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'elsewhere', role: 'mechanic', depotIds: [elsewhere.body.id] },
    });
    const seen = await service.client(bound.body.token).get('/v1/reports/month?of=2026-03-17');
    expect([seen.status, seen.body.total.done]).toEqual([200, 0]);
  });

  it('refuses what is no day', async () => {
    for (const day of ['2026-13-01', 'march', '9999-12-31', '0001-01-01']) {
      const { status } = await fleet.dashboard.get(`/v1/reports/month?of=${day}`);
      expect([day, status < 500]).toEqual([day, true]);
    }
    expect((await fleet.dashboard.get('/v1/reports/month?of=march')).status).toBe(400);
  });
});
