import { getDataSourceToken } from '@nestjs/typeorm';
import type { DataSource } from 'typeorm';
import { JobReport } from '../../../src/entities/job-report.entity.js';
import { type JobReportFilters, narrowReports } from '../../../src/facts/job-reports/job-report-list.js';
import { costOf } from '../../support/plans.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const TEMPERATURES = { startTemperature: { value: 18, unit: 'C' }, endTemperature: { value: 18, unit: 'C' } };
const pressureTest = (start: number, end: number) => ({
  ...{ kind: 'hold-test', method: 'pressure', minutes: 5, wet: true, ...TEMPERATURES },
  ...{ start: { value: start, unit: 'psi' }, end: { value: end, unit: 'psi' } },
  gaugeResolution: { value: 0.1, unit: 'psi' },
});
const PASS = pressureTest(16, 16);
const FAIL = pressureTest(15.5, 12);
const WORN = { kind: 'belt-check', ribsSeated: true, wearGauge: 'worn' };
const INCONCLUSIVE = { ...PASS, minutes: 0.5 };

describe('the list of job reports', () => {
  let service: Service;
  let fleet: FleetHandle;
  let [ridge, valley] = ['', ''];
  let [ofRidge, ofValley] = ['', ''];
  const ids: Record<string, string> = {};

  beforeAll(async () => {
    // What PostgreSQL plans depends on what its tables held before.
    service = await startService({ at: NOW, isAlone: true });
    // In Denver the clocks went forward on 8 March, a day of 23 hours.
    fleet = await service.newFleet();
    const { manager } = fleet;
    ridge = (await manager.post('/v1/depots', { name: 'Ridge' })).body.id;
    valley = (await manager.post('/v1/depots', { name: 'Valley' })).body.id;
    const specSheetId = (
      await manager.post('/v1/spec-sheets', {
        ...{ name: 'Any', holdTest: { method: 'pressure', minutes: 5 } },
        coolant: {
          ...{ base: 'ethylene-glycol', capacity: { value: 14, unit: 'L' }, targetStrengthPercent: 50 },
          capRating: { value: 16, unit: 'psi' },
        },
      })
    ).body.id;
    const added = async (unitNumber: string, depotId: string) =>
      (await manager.post('/v1/vehicles', { unitNumber, depotId, specSheetId })).body.id as string;
    [ofRidge, ofValley] = [await added('R-1', ridge), await added('V-1', valley)];
    const post = async (name: string, body: object): Promise<void> => {
      const answer = await fleet.mechanic.post('/v1/job-reports', { releasedForService: 'no', ...body });
      expect([name, answer.status, answer.body.errors]).toEqual([name, 201, undefined]);
      ids[name] = answer.body.id;
    };
    await post('7 Mar, last minute', {
      vehicleId: ofRidge,
      performedAt: '2026-03-08T06:59:00Z',
      readings: [PASS],
    });
    await post('8 Mar, first', { vehicleId: ofRidge, performedAt: '2026-03-08T07:00:00Z', readings: [FAIL] });
    await post('8 Mar, last', {
      ...{ vehicleId: ofRidge, performedAt: '2026-03-09T05:59:59.999Z', readings: [INCONCLUSIVE] },
    });
    await post('9 Mar, elsewhere', {
      ...{ vehicleId: ofRidge, performedAt: '2026-03-09T06:00:00Z', workedAtDepotId: valley },
      ...{ readings: [WORN], releasedForService: 'yes' },
    });
    await post('20 Mar, nothing measured', {
      ...{ vehicleId: ofValley, performedAt: '2026-03-20T16:00:00Z' },
      lines: [{ component: 'radiator-cap', action: 'inspect' }],
    });
  });
  afterAll(() => service.stop());

  const named = (items: any[]): string[] =>
    items.map(({ id }) => Object.keys(ids).find((name) => ids[name] === id) ?? 'unknown');
  async function listed(query: string, client: Client = fleet.dashboard): Promise<string[]> {
    const { status, body } = await client.get(`/v1/job-reports?${query}`);
    expect([query, status, body.errors]).toEqual([query, 200, undefined]);
    return named(body.items);
  }

  it.each([
    ['verdict=fail', ['9 Mar, elsewhere', '8 Mar, first']],
    ['verdict=inconclusive', ['8 Mar, last']],
    ['verdict=pass', ['20 Mar, nothing measured', '7 Mar, last minute']],
    ['from=2026-03-08&to=2026-03-08', ['8 Mar, last', '8 Mar, first']],
    ['from=2026-03-09', ['20 Mar, nothing measured', '9 Mar, elsewhere']],
    ['to=2026-03-07', ['7 Mar, last minute']],
    ['from=2026-03-08&to=2026-03-09&verdict=fail', ['9 Mar, elsewhere', '8 Mar, first']],
    ['released=with-findings', ['9 Mar, elsewhere']],
    ['released=with-findings&verdict=pass', []],
    ['from=1950-01-01&to=2100-12-31&verdict=fail', ['9 Mar, elsewhere', '8 Mar, first']],
  ])('can be filtered by %s', async (query, expected) => {
    expect(await listed(query)).toEqual(expected);
  });

  it('can be filtered by where the work was done, otherwise by the vehicle’s depot at arrival', async () => {
    expect(await listed(`depotId=${valley}`)).toEqual(['20 Mar, nothing measured', '9 Mar, elsewhere']);
    expect(await listed(`depotId=${ridge.toUpperCase()}&verdict=fail`)).toEqual(['8 Mar, first']);
    await fleet.manager.patch(`/v1/vehicles/${ofRidge}`, { depotId: valley });
    expect(await listed(`depotId=${ridge}&verdict=fail`)).toEqual(['8 Mar, first']);
    await fleet.manager.patch(`/v1/vehicles/${ofRidge}`, { depotId: ridge });
    const { body } = await fleet.dashboard.get(`/v1/job-reports/${ids['9 Mar, elsewhere']}`);
    expect([body.depotId, body.workedAtDepotId]).toEqual([valley, valley]);
  });

  it('continues page by page, only with the filters it began with', async () => {
    const first = (await fleet.dashboard.get('/v1/job-reports?verdict=fail&limit=1')).body;
    expect(named(first.items)).toEqual(['9 Mar, elsewhere']);
    expect(await listed(`verdict=fail&limit=1&cursor=${first.next}`)).toEqual(['8 Mar, first']);
    for (const other of ['', 'verdict=pass', 'verdict=fail&from=2026-03-01', 'released=with-findings']) {
      const { status, body } = await fleet.dashboard.get(`/v1/job-reports?${other}&cursor=${first.next}`);
      expect([other, status, body.errors?.[0]?.parameter]).toEqual([other, 400, 'cursor']);
    }
  });

  it('shows a token bound to depots only reports of its vehicles', async () => {
    const { body } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'Ridge', role: 'dashboard', depotIds: [ridge] },
    });
    const bound = service.client(body.token);
    expect(await listed('verdict=fail', bound)).toEqual(['9 Mar, elsewhere', '8 Mar, first']);
    expect(await listed(`depotId=${valley}`, bound)).toEqual(['9 Mar, elsewhere']);
    expect((await bound.get('/v1/vehicles?released=with-findings')).body.items).toHaveLength(1);
  });

  it.each([
    ['verdict=failed', 'verdict', /one of pass, fail and inconclusive is needed/],
    ['verdict=', 'verdict', /one of pass, fail and inconclusive is needed/],
    ['from=yesterday', 'from', /a date such as/],
    ['to=2026-02-30', 'to', /no such day/],
    ['from=2026-03-09&to=2026-03-08', 'to', /before from/],
    ['depotId=Ridge', 'depotId', /./],
    ['released=yes', 'released', /with-findings/],
  ])('refuses %s, and says what is accepted', async (query, parameter, detail) => {
    const { status, body } = await fleet.dashboard.get(`/v1/job-reports?${query}`);
    expect([status, body.errors?.[0]?.parameter]).toEqual([400, parameter]);
    expect(body.errors[0].detail).toMatch(detail);
  });

  it('reads about as many rows as it shows, however many there are', async () => {
    const { admin } = service.database;
    await admin.query(
      `insert into job_reports (fleet_id, id, vehicle_id, depot_id, performed_at, content_hash, outcome, verdict)
       select $1, uuidv7(), $2, $3, timestamptz '2025-01-01' + n * interval '1 minute', '\\x00', '{}', 'pass'
       from generate_series(1, 20000) n`,
      [fleet.fleetId, ofValley, ridge],
    );
    await admin.query('analyze job_reports');
    const statementOf = (query: JobReportFilters): { text: string; values: unknown[] } => {
      const builder = service.app
        .get<DataSource>(getDataSourceToken())
        .createQueryBuilder(JobReport, 'r')
        .where('r.fleetId = :fleetId', { fleetId: fleet.fleetId })
        .orderBy('r.performedAt', 'DESC')
        .addOrderBy('r.id', 'DESC')
        .limit(51);
      narrowReports(builder, query, 'America/Denver');
      const [text, values] = builder.getQueryAndParameters();
      return {
        text,
        values: values.map((value: unknown) => (value instanceof Date ? value.toISOString() : value)),
      };
    };
    for (const [query, index] of [
      [{ verdict: 'fail' }, 'job_reports_verdict_ix'],
      [{ depotId: valley }, 'job_reports_place_ix'],
      [{ released: 'with-findings' }, 'job_reports_released_ix'],
      [{ from: '2026-03-08', to: '2026-03-08' }, 'job_reports_performed_ix'],
    ] as const) {
      const cost = await costOf(admin, fleet.fleetId, statementOf(query), 'force_custom_plan');
      expect([query, cost.seqScans, cost.indexes, cost.rowsRemoved]).toEqual([query, [], [index], 0]);
      expect(cost.buffers).toBeLessThan(30);
    }
  });
});
