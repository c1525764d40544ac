import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const EVERY_STATE = 'state=late,due,window,not-due,no-baseline';

describe('work done before records began, from a spreadsheet', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us' });
    scenario = await postScenario(fleet);
  });

  const send = (file: string | Buffer, query = ''): Promise<Answer> =>
    fleet.manager.send('POST', `/v1/job-reports/import${query}`, file, { 'content-type': 'text/csv' });
  const lines = async (): Promise<any[]> =>
    (await fleet.manager.get(`/v1/due-list?${EVERY_STATE}&limit=200`)).body.items;
  const lineOf = async (component: string, action: string): Promise<any> =>
    (await lines()).find((line) => line.component === component && line.action === action);
  const usage = (readings: object[]): Promise<Answer> =>
    fleet.manager.post('/v1/usage-readings', { readings });

  it('resets intervals, and opens nothing of its own', async () => {
    await usage([
      { unitNumber: 'R-114', readAt: '2026-03-30T12:00:00Z', odometer: { value: 61250, unit: 'mi' } },
    ]);
    const answer = await send(
      [
        'unit,component,item,action,date,odometer,hours',
        'R-114,Water Pump,,replace,2025-06-02,50000,',
        'R-114,coolant,,Replace,2025-06-02,50000,',
        'R-114,drive-belt,accessory,replace,2023-01-10,,',
      ].join('\n'),
    );
    expect(answer.body).toMatchObject({ rows: 3, accepted: 3, duplicate: 0, rejected: 0, notices: [] });
    const pump = await lineOf('water-pump', 'replace');
    // Severe duty, by the plan of the scenario: 60,000 mi and 60 months on from 50,000 mi and 2
    // June 2025.
    expect(pump).toMatchObject({
      lastDone: { on: '2025-06-02', odometer: { value: 50000, unit: 'mi' } },
      dueAt: { odometer: { value: 110000, unit: 'mi' }, date: '2030-06-02' },
    });
    expect((await lineOf('drive-belt', 'inspect')).lastDone.on).toBe('2023-01-10');
    expect((await lines()).filter((line) => line.origin === 'follow-up')).toEqual([]);
    expect((await fleet.manager.get('/v1/loss-alerts')).body.items).toEqual([]);
    const { body: summary } = await fleet.manager.get('/v1/due-list/summary');
    expect(summary.done).toMatchObject({ onTime: 0, late: 0 });
    const report = await fleet.manager.get(`/v1/job-reports/${pump.lastDone.jobReportId}`);
    expect(report.body).toMatchObject({
      isBaseline: true,
      // Noon in Denver, six hours behind UTC in summer.
      performedAt: '2025-06-02T18:00:00.000Z',
      odometer: { value: 50000, unit: 'mi' },
      lines: [{ component: 'water-pump', action: 'replace' }],
      readings: [],
      outcome: { resets: [pump.id], followUps: [], alerts: [], held: [] },
    });
    const history = await fleet.manager.get(`/v1/vehicles/${scenario.vehicleId}/history`);
    expect(history.body.items.filter((item: any) => item.baseline)).toHaveLength(3);
  });

  it('leads to the same due list as the job itself, except for follow-ups', async () => {
    const other = await service.newFleet({ units: 'us' });
    const { vehicleId } = await postScenario(other);
    const job = { vehicleId, performedAt: '2025-06-02T18:00:00Z', odometer: { value: 50000, unit: 'mi' } };
    const posted = await other.manager.post('/v1/job-reports', {
      ...job,
      lines: [{ component: 'coolant', action: 'replace' }],
    });
    expect(posted.status).toBe(201);
    await send('unit,component,action,date,odometer (km)\nR-114,coolant,replace,2025-06-02,80467.2\n');
    const told = (line: any) => [
      line.component,
      line.action,
      line.dueOn,
      line.windowOpensOn,
      line.dueAt,
      line.lastDone?.on,
      line.lastDone?.odometer,
    ];
    const theirs = (await other.manager.get(`/v1/due-list?${EVERY_STATE}`)).body.items.filter(
      (line: any) => line.origin === 'interval',
    );
    expect((await lines()).map(told)).toEqual(theirs.map(told));
  });

  it('recognises a row again, in any units and beside any other rows', async () => {
    await send('unit,component,action,date,odometer\nR-114,coolant,replace,2025-06-02,50000\n');
    const before = await lines();
    const again = await send(
      'odometer (km),date,action,component,unit\n80467.2,2025-06-02,replace,coolant,R-114\n80467.2,2025-06-02,replace,coolant,R-114\n,2025-07-02,inspect,drive-belt,R-114\n,2025-07-02,inspect,drive-belt,R-114\n',
    );
    expect(again.body).toMatchObject({ rows: 4, accepted: 1, duplicate: 3 });
    expect((await lines()).filter((line) => line.component !== 'drive-belt')).toEqual(
      before.filter((line) => line.component !== 'drive-belt'),
    );
    const report = (await lineOf('coolant', 'replace')).lastDone.jobReportId;
    await fleet.manager.post(`/v1/job-reports/${report}/void`, { reason: 'was another vehicle' });
    const voided = await send(
      'unit,component,action,date,odometer\nR-114,coolant,replace,2025-06-02,50000\n',
    );
    expect(voided.body).toMatchObject({ accepted: 0, duplicate: 1 });
    expect(inText(voided.body.notices)).toEqual([
      { line: 2, detail: 'was imported before and voided; it stays voided' },
    ]);
    expect((await lineOf('coolant', 'replace')).lastDone.on).toBe('2021-03-15');
  });

  it('recognises a row again whether or not it names the first circuit', async () => {
    const row = (circuit: string): string =>
      `unit,component,action,circuit,date\nR-114,coolant,replace,${circuit},2025-06-02\n`;
    const first = (await send(row(''))).body;
    const named = (await send(row('engine'))).body;
    expect([first, named]).toMatchObject([
      { accepted: 1, duplicate: 0 },
      { accepted: 0, duplicate: 1 },
    ]);
  });

  it('names impossible rows, and stores nothing or the rest', async () => {
    const file = [
      'unit,component,item,action,date,odometer',
      'R-114,waterpump,,replace,2025-06-02,50000',
      'R-114,coolant,,exchange,2025-06-02,50000',
      'R-115,coolant,,replace,2025-06-02,50000',
      'R-114,coolant,,replace,2019-06-02,5',
      'R-114,coolant,,replace,2026-04-03,5',
      'R-114,drive-belt,fan,replace,2025-06-02,50000',
      'R-114,coolant,,,06/02/2025,fifty',
      'R-114,radiator,,replace,2025-06-03,50000',
    ].join('\n');
    const refused = await send(file);
    expect(refused.status).toBe(422);
    expect(refused.body).toMatchObject({ rows: 8, rejected: 7, accepted: 0 });
    expect(refused.body.errors.map(({ line, column, detail }: any) => [line, column, detail])).toEqual([
      [
        2,
        'component',
        expect.stringMatching(/^is "waterpump"; one of coolant, .* is needed; did you mean water-pump\?$/),
      ],
      [
        3,
        'action',
        'is "exchange"; one of inspect, test, adjust, clean, flush, replace and recheck is needed',
      ],
      [4, 'unit', '"R-115" is no vehicle of this fleet'],
      [5, 'date', 'is 2019-06-02, before the vehicle went into service on 2021-03-15'],
      [6, 'date', 'is 2026-04-03, which is yet to come'],
      [7, 'item', '"fan" is not on the spec sheet, which has accessory.'],
      [8, 'action', expect.stringContaining('is required')],
      [8, 'date', expect.stringContaining('day and month cannot be told apart')],
      [8, 'odometer', 'is "fifty"; a number is needed, such as 2019 or 12.5'],
    ]);
    expect((await fleet.manager.get('/v1/job-reports')).body.items).toEqual([]);
    const kept = await send(file, '?partial=true');
    expect(kept.body).toMatchObject({ rows: 8, rejected: 7, accepted: 1 });
    expect(inText(kept.body.notices)).toEqual([
      {
        line: 9,
        column: 'component',
        detail: 'the row is kept and resets nothing: no interval of the vehicle starts anew with it',
      },
    ]);
  });

  it("checks an odometer against the vehicle's usage and the other rows, and blames the one that does not fit", async () => {
    await usage([
      { unitNumber: 'R-114', readAt: '2025-01-10T12:00:00Z', odometer: { value: 40000, unit: 'mi' } },
      { unitNumber: 'R-114', readAt: '2026-03-30T12:00:00Z', odometer: { value: 61250, unit: 'mi' } },
    ]);
    const answer = await send(
      [
        'unit,component,action,date,odometer',
        'R-114,coolant,replace,2023-06-02,20000',
        'R-114,thermostat,replace,2024-06-02,300000',
        'R-114,radiator,replace,2025-06-02,5000',
        'R-114,tensioner,replace,2025-07-02,50100',
      ].join('\n'),
      '?partial=true',
    );
    expect(answer.body).toMatchObject({ accepted: 2, rejected: 2 });
    expect(
      answer.body.errors.map(({ line, column, value, detail }: any) => [line, column, value, detail]),
    ).toEqual([
      [3, 'odometer', '300000', expect.stringContaining('is not plausible')],
      [4, 'odometer', '5000', expect.stringContaining('is not plausible')],
    ]);
    expect((await fleet.manager.get('/v1/usage-readings')).body.items).toEqual([]);
  });

  it('leaves no trace of a dry run', async () => {
    const before = await lines();
    const answer = await send(
      'unit,component,action,date\nR-114,coolant,replace,2025-06-02\n',
      '?dryRun=true',
    );
    expect(answer.body).toMatchObject({ dryRun: true, accepted: 1 });
    expect(await lines()).toEqual(before);
    expect((await fleet.manager.get('/v1/job-reports')).body.items).toEqual([]);
  });

  it('needs as many statements for one vehicle as for two hundred', async () => {
    const vehicles = [
      'unitNumber,intervalPlan,inServiceOn',
      ...Array.from({ length: 200 }, (_, n) => `B-${n},Light trucks,2021-01-01`),
    ];
    await fleet.manager.send('POST', '/v1/vehicles/import', vehicles.join('\n'), {
      'content-type': 'text/csv',
    });
    async function statementsOf(file: string): Promise<number> {
      let count = 0;
      const listen = () => void count++;
      statementListeners.add(listen);
      try {
        expect((await send(file)).status).toBe(200);
      } finally {
        statementListeners.delete(listen);
      }
      return count;
    }
    const header = 'unit,component,action,date,odometer\n';
    const one = await statementsOf(`${header}B-0,coolant,replace,2024-05-05,20000\n`);
    const rows = Array.from({ length: 199 }, (_, n) => `B-${n + 1},coolant,replace,2024-05-05,20000`);
    expect(await statementsOf(header + rows.join('\n'))).toBe(one);
  });

  it('leads to the same conclusions as a rebuild, whatever came before and after', async () => {
    await send(
      'unit,component,action,date,odometer\nR-114,water-pump,replace,2024-06-02,30000\nR-114,coolant,flush,2023-06-02,\n',
    );
    await fleet.mechanic.post('/v1/job-reports', goodJob(scenario.vehicleId, '2026-03-01T15:00:00Z', 60000));
    await send('unit,component,action,date,odometer\nR-114,water-pump,inspect,2025-01-02,41000\n');
    const { differences } = await rebuildAll({
      databaseUrl: service.database.url,
      schema,
      clock: service.clock,
    });
    expect(differences).toEqual([]);
  });
});
