import { failedStatement } from '../../../src/conclusions/month-report/failed-readings.queries.js';
import {
  doneStatement,
  repeatStatement,
} from '../../../src/conclusions/month-report/month-report.queries.js';
import { costOf } from '../../support/plans.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const TEMPERATURES = { startTemperature: { value: 18, unit: 'C' }, endTemperature: { value: 18, unit: 'C' } };
const pressureTest = (end: number) => ({
  ...{ kind: 'hold-test', method: 'pressure', minutes: 5, wet: true, ...TEMPERATURES },
  ...{ start: { value: 16, unit: 'psi' }, end: { value: end, unit: 'psi' } },
  gaugeResolution: { value: 0.1, unit: 'psi' },
});
const [HOLDS, LEAKS] = [pressureTest(16), pressureTest(12)];
const LEAK_SEEN = {
  ...{ kind: 'warm-up-check', heatAtVents: true, fanCycled: true, thermostatOpened: true },
  ...{ temperatureSteady: true, leakSeen: true, levelAfterCooling: 'at-mark' },
};
const strength = (value: number) => ({
  ...{ kind: 'freeze-point', base: 'ethylene-glycol', scale: 'ethylene-glycol', method: 'refractometer' },
  value: { value, unit: 'C' },
});
const WORN = { kind: 'belt-check', ribsSeated: true, wearGauge: 'worn' };

describe('the repeat jobs and failed readings of a month', () => {
  let service: Service;
  let fleet: FleetHandle;
  let [ridge, valley, ofRidge, ofValley] = ['', '', '', ''];

  const posted = async (path: string, body: object): Promise<any> => {
    const answer = await fleet.manager.post(path, body);
    expect([path, answer.status, answer.body.errors]).toEqual([path, 201, undefined]);
    return answer.body;
  };
  /** A report of one line, at noon in Denver unless an instant is given. */
  const did = async (vehicleId: string, work: string, when: string): Promise<string> => {
    const [component, action] = work.split('/');
    return (
      await posted('/v1/job-reports', {
        ...{ vehicleId, performedAt: when.length > 10 ? when : `${when}T18:00:00Z` },
        ...{ releasedForService: 'no', lines: [{ component, action }] },
      })
    ).id;
  };
  const read = async (vehicleId: string, reading: object, day: string): Promise<string> =>
    (
      await posted('/v1/job-reports', {
        ...{ vehicleId, performedAt: `${day}T18:00:00Z`, releasedForService: 'no' },
        readings: [reading],
      })
    ).id;
  const voided = async (id: string): Promise<void> => {
    expect((await fleet.manager.post(`/v1/job-reports/${id}/void`, { reason: 'a mistake' })).status).toBe(
      200,
    );
  };
  const report = async (of: string, client = fleet.dashboard) =>
    (await client.get(`/v1/reports/month?of=${of}`)).body;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z', isAlone: true });
    fleet = await service.newFleet();
    ridge = (await posted('/v1/depots', { name: '=Ridge', designLowTemperature: { value: -30, unit: 'C' } }))
      .id;
    valley = (await posted('/v1/depots', { name: 'Valley', designLowTemperature: { value: -30, unit: 'C' } }))
      .id;
    const specSheetId = (
      await posted('/v1/spec-sheets', {
        ...{ name: 'Any', holdTest: { method: 'pressure', minutes: 5 } },
        coolant: {
          ...{ base: 'ethylene-glycol', capacity: { value: 14, unit: 'L' }, targetStrengthPercent: 50 },
          capRating: { value: 16, unit: 'psi' },
        },
      })
    ).id;
    const intervalPlanId = (
      await posted('/v1/interval-plans', {
        name: 'Fans every two months',
        intervals: [
          {
            component: 'fan-drive',
            action: 'clean',
            everyMonths: 2,
            window: { days: 14 },
            grace: { days: 5 },
          },
        ],
      })
    ).id;
    const vehicle = async (unitNumber: string, depotId: string, duty: string): Promise<string> =>
      (
        await posted('/v1/vehicles', {
          ...{ unitNumber, depotId, duty, specSheetId, intervalPlanId, inServiceOn: '2025-11-01' },
        })
      ).id;
    ofRidge = await vehicle('R-1', ridge, 'normal');
    ofValley = await vehicle('V-1', valley, 'severe');
  });
  afterAll(() => service.stop());

  it('are none where nothing was done, without a share of nothing', async () => {
    const { total, depots } = await report('2026-03-01');
    expect(total).toEqual({
      ...{ done: 0, early: 0, inWindow: 0, inGrace: 0, late: 0, shareInWindow: null, shareInGrace: null },
      ...{ medianDaysAfterDue: null, medianDaysLate: null, worstDaysLate: null },
      repeatJobs: { work: 0, repeats: 0, share: null },
      failedReadings: {
        ...{ failed: 0, closed: 0, closedOtherwise: 0, open: 0, medianDaysOpen: null, longestDaysOpen: null },
      },
    });
    expect(depots).toEqual([]);
  });

  it('are repeats within 90 days, before the window of the interval, and not of what only looks', async () => {
    await did(ofRidge, 'water-pump/replace', '2026-01-20');
    await did(ofRidge, 'water-pump/replace', '2026-03-10'); // 49 days: a repeat
    await did(ofRidge, 'radiator-cap/replace', '2025-12-01');
    await did(ofRidge, 'radiator-cap/replace', '2026-03-01'); // 90 days: a repeat
    await did(ofValley, 'radiator-cap/replace', '2025-12-01');
    await did(ofValley, 'radiator-cap/replace', '2026-03-02'); // 91 days
    for (const day of ['2026-03-03', '2026-03-04']) await did(ofValley, 'drive-belt/inspect', day);
    for (const day of ['2026-03-05', '2026-03-06']) await did(ofValley, 'coolant/test', day);
    // The same day, an hour apart; and another action on that part.
    for (const hour of ['18', '19']) await did(ofValley, 'upper-hose/replace', `2026-03-20T${hour}:00:00Z`);
    await did(ofValley, 'upper-hose/adjust', '2026-03-21');
    // The last minutes of March in Denver, and the first of April.
    await did(ofValley, 'thermostat/replace', '2026-02-10');
    await did(ofValley, 'thermostat/replace', '2026-04-01T05:59:00Z'); // 49 days: a repeat, in March
    await did(ofValley, 'thermostat/replace', '2026-04-01T06:30:00Z'); // 1 day: a repeat, in April
    // Due on 15 March: the window opens on 1 March. So 28 February is a repeat, 2 March is not.
    await did(ofRidge, 'fan-drive/clean', '2026-01-15');
    await did(ofRidge, 'fan-drive/clean', '2026-03-02');
    await did(ofValley, 'fan-drive/clean', '2026-01-15');
    await did(ofValley, 'fan-drive/clean', '2026-02-28');
    // Voided, once the second and once the first.
    await did(ofRidge, 'tensioner/replace', '2026-03-05');
    await voided(await did(ofRidge, 'tensioner/replace', '2026-03-12'));
    await voided(await did(ofRidge, 'idler/replace', '2026-02-20'));
    await did(ofRidge, 'idler/replace', '2026-03-12');
    const march = await report('2026-03-17');
    // At Ridge: pump, cap, fan, tensioner, idler. At Valley: cap, two hoses, one adjusted, thermostat.
    expect(march.total.repeatJobs).toEqual({ work: 10, repeats: 3, share: 0.3 });
    const told = (groups: any[]) =>
      groups.map(({ key, repeatJobs: { repeats, work } }) => [key, `${repeats} of ${work}`]);
    expect(told(march.depots)).toEqual([
      [ridge, '2 of 5'],
      [valley, '1 of 5'],
    ]);
    expect(told(march.duties)).toEqual([
      ['normal', '2 of 5'],
      ['severe', '1 of 5'],
    ]);
    expect(told(march.components)).toEqual([
      ...[
        ['fan-drive', '0 of 1'],
        ['idler', '0 of 1'],
        ['radiator-cap', '1 of 2'],
      ],
      ...[
        ['tensioner', '0 of 1'],
        ['thermostat', '1 of 1'],
        ['upper-hose', '0 of 3'],
        ['water-pump', '1 of 1'],
      ],
    ]);
    const inMonth = (of: string) => march.trend.find(({ month }: any) => month === of).repeatJobs;
    // In February: a thermostat, and a fan 44 days after the last time.
    expect(inMonth('2026-02')).toMatchObject({ work: 2, repeats: 1 });
    expect(inMonth('2026-01')).toMatchObject({ work: 3, repeats: 0 });
    expect((await report('2026-04-01')).total.repeatJobs).toEqual({ work: 1, repeats: 1, share: 1 });
  });

  it('stay open until one of the kind passes or the part is new, counted to the end of the month', async () => {
    await read(ofRidge, LEAKS, '2026-03-04');
    await read(ofRidge, HOLDS, '2026-03-09'); // 5 days
    await read(ofValley, WORN, '2026-03-06');
    await did(ofValley, 'drive-belt/replace', '2026-03-16'); // 10 days
    // A pressure test settles it, but no warm-up check passed: no day.
    await read(ofRidge, LEAK_SEEN, '2026-03-11');
    await read(ofRidge, HOLDS, '2026-03-12');
    await read(ofValley, LEAKS, '2026-03-25'); // Open: 6 days to the end of March.
    await read(ofValley, strength(-12), '2026-03-30'); // Open at the end of March: 1 day.
    await read(ofValley, strength(-37), '2026-04-01');
    await voided(await read(ofRidge, LEAKS, '2026-03-20'));
    const march = await report('2026-03-31');
    expect([march.upTo, march.total.failedReadings]).toEqual([
      '2026-03-31',
      // 1, 5, 6 and 10 days.
      { failed: 5, closed: 3, closedOtherwise: 1, open: 2, medianDaysOpen: 5.5, longestDaysOpen: 10 },
    ]);
    const told = (groups: any[]) =>
      groups
        .filter(({ failedReadings }) => failedReadings.failed > 0)
        .map(({ key, failedReadings: { failed, closed, open, longestDaysOpen } }) => [
          key,
          `${failed}: ${closed} + ${open}, ${longestDaysOpen}`,
        ]);
    expect(told(march.depots)).toEqual([
      [ridge, '2: 2 + 0, 5'],
      [valley, '3: 1 + 2, 10'],
    ]);
    expect(told(march.duties)).toEqual([
      ['normal', '2: 2 + 0, 5'],
      ['severe', '3: 1 + 2, 10'],
    ]);
    expect(told(march.components)).toEqual([
      ['coolant', '4: 2 + 2, 6'],
      ['drive-belt', '1: 1 + 0, 10'],
    ]);
    // While the month lasts, an open one is counted up to today.
    await read(ofRidge, LEAKS, '2026-04-01');
    const april = await report('2026-04-30');
    expect([april.upTo, april.total.failedReadings]).toMatchObject([
      '2026-04-02',
      { failed: 1, closed: 0, open: 1, medianDaysOpen: 1, longestDaysOpen: 1 },
    ]);
  });

  it('say how late the late ones were', async () => {
    // Cleaned on 15 December, due on 15 February, late from 20 February.
    const pump = await posted('/v1/vehicles', {
      ...{ unitNumber: 'R-9', depotId: ridge, duty: 'normal', inServiceOn: '2025-11-01' },
      intervalPlanId: (await fleet.manager.get('/v1/interval-plans')).body.items[0].id,
    });
    await did(pump.id, 'fan-drive/clean', '2025-08-15');
    await did(pump.id, 'fan-drive/clean', '2025-10-19'); // Due on 15 October: in grace.
    await did(pump.id, 'fan-drive/clean', '2025-12-27'); // Due on 19 December: 8 days late.
    await did(pump.id, 'fan-drive/clean', '2026-03-19'); // Due on 27 February: 20 days late.
    const { total, trend } = await report('2026-03-31');
    expect(total).toMatchObject({ done: 2, inWindow: 1, late: 1, medianDaysLate: 20, worstDaysLate: 20 });
    const figures = trend.map(({ month, late, worstDaysLate }: any) => [month, late, worstDaysLate]);
    expect(figures.slice(6, 9)).toEqual([
      ['2025-10', 0, null],
      ['2025-11', 0, null],
      ['2025-12', 1, 8],
    ]);
  });

  it('are those of its depots for a token that is bound to them', async () => {
    const bound = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'valley', role: 'mechanic', depotIds: [valley] },
    });
    const { total, depots } = await report('2026-03-31', service.client(bound.body.token));
    expect(depots.map(({ key }: any) => key)).toEqual([valley]);
    expect([total.repeatJobs.work, total.failedReadings.failed]).toEqual([6, 3]);
  });

  it('are in a file, with the definitions, which no spreadsheet takes for formulas', async () => {
    const { status, headers, body } = await fleet.dashboard.get('/v1/reports/month.csv?of=2026-03-31');
    expect([status, headers.get('content-disposition')]).toEqual([200, 'attachment; filename="month.csv"']);
    const lines = body.split('\r\n');
    expect(lines[0]).toBe(
      'month,by,key,name,done,early,inWindow,inGrace,late,medianDaysAfterDue,medianDaysLate,worstDaysLate,work,repeatJobs,failedReadings,closed,closedOtherwise,open,medianDaysOpen,longestDaysOpen',
    );
    expect(lines[1]).toBe('2026-03,total,,,2,0,1,0,1,20,20,20,12,3,5,3,1,2,5.5,10');
    expect(lines).toContain(`2026-03,depot,${valley},Valley,0,0,0,0,0,,,,6,1,3,1,0,2,6,10`);
    expect(lines[2]).toContain(`,'=Ridge,`);
    expect(body).toMatch(/2026-03,definition,repeatJobs,"The same work on the same part .* 90 days /);
    const spanish = await fleet.dashboard.get('/v1/reports/month.csv?bom=true', { 'accept-language': 'es' });
    expect(spanish.body).toMatch(/^month,[^]*,definition,repeatJobs,"El mismo trabajo /);
    expect((await fleet.dashboard.get('/v1/reports/month.csv?of=march')).status).toBe(400);
    expect((await service.client(null).get('/v1/reports/month.csv')).status).toBe(401);
  });

  it('are found in the months that are asked for, however long the records are', async () => {
    const { admin } = service.database;
    // Ten years of records of other vehicles: a report and a failed reading each, every twelve days.
    await admin.query(
      `insert into vehicles (fleet_id, id, unit_number, duty, status)
       select $1, gen_random_uuid(), 'M-' || n, 'normal', 'in-use' from generate_series(1, 40) n`,
      [fleet.fleetId],
    );
    await admin.query(
      `with reports as (
         insert into job_reports (fleet_id, id, vehicle_id, performed_at, content_hash)
         select $1, gen_random_uuid(), v.id, '2015-01-01Z'::timestamptz + make_interval(days => 12 * n), ''
         from vehicles v, generate_series(1, 300) n where v.fleet_id = $1 and v.unit_number like 'M-%' returning id, vehicle_id, performed_at),
       lines as (
         insert into job_lines (fleet_id, job_report_id, position, vehicle_id, component, action)
         select $1, id, 0, vehicle_id, 'radiator', 'clean' from reports)
       insert into readings (fleet_id, id, vehicle_id, kind, taken_at, typed, canonical, evaluation, limits)
       select $1, gen_random_uuid(), vehicle_id, 'cap-test', performed_at, '{}', '{}', '{"verdict":"fail"}', '{}' from reports`,
      [fleet.fleetId],
    );
    await admin.query(
      `insert into completions (fleet_id, job_report_id, due_line_id, performed_on, window_opens_on, due_on, late_on)
       select $1, gen_random_uuid(), (select id from due_lines where fleet_id = $1 limit 1), d, d, d, d + 1
       from (select '2015-01-01'::date + n / 3 as d from generate_series(1, 12000) n) days`,
      [fleet.fleetId],
    );
    for (const table of ['vehicles', 'job_reports', 'job_lines', 'readings', 'completions', 'due_lines'])
      await admin.query(`analyze ${table}`);
    const months = {
      ...{ fleetId: fleet.fleetId, from: '2025-04-01', until: '2026-04-01' },
      ...{ timeZone: 'America/Denver', today: '2026-04-02' },
    };
    for (const [statement, index] of [
      [doneStatement(months), 'completions_performed_ix'],
      [repeatStatement(months), 'job_reports_performed_ix'],
      [failedStatement(months), 'readings_failed_taken_ix'],
    ] as const) {
      const cost = await costOf(admin, fleet.fleetId, statement, 'force_custom_plan');
      const large = cost.seqScans.filter((table) =>
        ['completions', 'job_reports', 'job_lines', 'readings'].includes(table),
      );
      expect([index, large, cost.indexes.includes(index), cost.text]).toEqual([index, [], true, cost.text]);
      // All 12,000 of each would be over 700 pages.
      expect([index, cost.buffers < 400, cost.text]).toEqual([index, true, cost.text]);
    }
  });
});
