import { v7 as uuidv7 } from 'uuid';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const HOUR = 3_600_000;

describe('replacing a job report', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let turn = 0;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet({ units: 'us' });
    scenario = await postScenario(fleet);
  });
  beforeEach(() => service.clock.moveTo(NOW));
  afterAll(() => service.stop());

  async function newVehicle(): Promise<string> {
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: `S-${++turn}`, depotId, specSheetId, intervalPlanId, inServiceOn: '2021-03-15' },
      inServiceOdometer: { value: 0, unit: 'mi' },
    });
    expect(status).toBe(201);
    return body.id;
  }

  const job = (vehicleId: string, more: object = {}) => ({
    ...{
      id: uuidv7(),
      vehicleId,
      performedAt: '2026-04-02T14:00:00Z',
      odometer: { value: 61_000, unit: 'mi' },
    },
    lines: [{ component: 'coolant', action: 'replace' }],
    ...more,
  });
  async function posted(client: Client, body: object): Promise<any> {
    const answer = await client.post('/v1/job-reports', body);
    expect([answer.status, answer.body.errors]).toEqual([201, undefined]);
    return answer.body;
  }
  const shown = async (id: string): Promise<any> => (await fleet.dashboard.get(`/v1/job-reports/${id}`)).body;
  async function dueLine(vehicleId: string, component: string, action: string): Promise<any> {
    const { body } = await fleet.dashboard.get(
      `/v1/due-list?vehicleId=${vehicleId}&state=late,due,window,not-due,no-baseline&component=${component}&action=${action}`,
    );
    return body.items.find((line: any) => line.origin === 'interval');
  }
  const refusal = async (client: Client, body: object) => {
    const answer = await client.post('/v1/job-reports', body);
    return [answer.status, answer.body.type, answer.body.errors?.[0]?.pointer];
  };

  it('voids the older one, counts only the newer, and shows both', async () => {
    const vehicleId = await newVehicle();
    const before = await dueLine(vehicleId, 'coolant', 'replace');
    const wrong = await posted(fleet.mechanic, job(vehicleId));
    expect((await dueLine(vehicleId, 'coolant', 'replace')).lastDone.jobReportId).toBe(wrong.id);
    // It was the pump, not the coolant, and the odometer was misread.
    const right = await posted(
      fleet.mechanic,
      job(vehicleId, {
        ...{ supersedes: wrong.id, odometer: { value: 60_100, unit: 'mi' } },
        lines: [{ component: 'water-pump', action: 'replace' }],
      }),
    );
    expect([right.supersedes, right.supersededBy, right.voided, right.notices]).toEqual([
      wrong.id,
      null,
      null,
      [],
    ]);
    expect(await shown(right.id)).toEqual(right);
    const old = await shown(wrong.id);
    expect([old.supersedes, old.supersededBy]).toEqual([null, right.id]);
    expect(old.voided).toEqual({
      at: '2026-04-02T15:00:00.000Z',
      reason: {
        code: 'voided-superseded',
        values: { by: right.id },
        text: `Replaced by report ${right.id}.`,
      },
    });
    expect((await dueLine(vehicleId, 'coolant', 'replace')).lastDone).toEqual(before.lastDone);
    expect((await dueLine(vehicleId, 'water-pump', 'replace')).lastDone.jobReportId).toBe(right.id);
    const usage = (await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/usage`)).body;
    expect(usage.lastReading.odometer).toEqual({ value: 60_100, unit: 'mi' });
    const { body: list } = await fleet.dashboard.get(`/v1/job-reports?vehicleId=${vehicleId}`);
    expect(list.items.map((item: any) => item.id).sort()).toEqual([wrong.id, right.id].sort());
  });

  it('judges lateness by the due point before the replaced report', async () => {
    const vehicleId = await newVehicle();
    const { dueOn } = await dueLine(vehicleId, 'coolant', 'replace');
    const wrong = await posted(fleet.mechanic, job(vehicleId));
    await posted(fleet.mechanic, job(vehicleId, { supersedes: wrong.id, notes: 'with the lot number' }));
    const { rows } = await service.database.admin.query(
      `select to_char(c.due_on, 'YYYY-MM-DD') as due_on, c.voided from completions c join due_lines d on d.fleet_id = c.fleet_id and d.id = c.due_line_id
       where d.vehicle_id = $1 and d.component = 'coolant' and d.action = 'replace' order by c.voided`,
      [vehicleId],
    );
    expect(rows).toEqual([
      { due_on: dueOn, voided: false },
      { due_on: dueOn, voided: true },
    ]);
  });

  it('that was posted for the wrong vehicle corrects both vehicles', async () => {
    const [wrongVehicle, rightVehicle] = [await newVehicle(), await newVehicle()];
    const before = await dueLine(wrongVehicle, 'coolant', 'replace');
    const wrong = await posted(fleet.mechanic, job(wrongVehicle));
    const right = await posted(fleet.mechanic, job(rightVehicle, { supersedes: wrong.id }));
    expect((await dueLine(wrongVehicle, 'coolant', 'replace')).dueOn).toBe(before.dueOn);
    expect((await dueLine(rightVehicle, 'coolant', 'replace')).lastDone.jobReportId).toBe(right.id);
  });

  it('gets the first answer again if sent again, and the older one sent again stays replaced', async () => {
    const vehicleId = await newVehicle();
    const older = job(vehicleId);
    await posted(fleet.mechanic, older);
    const newer = job(vehicleId, { supersedes: older.id, notes: 'again' });
    const first = await posted(fleet.mechanic, newer);
    const { rows } = await service.database.admin.query('select count(*) from job_reports');
    expect(await fleet.mechanic.post('/v1/job-reports', newer)).toMatchObject({ status: 200, body: first });
    const again = await fleet.mechanic.post('/v1/job-reports', older);
    expect([again.status, again.body.supersededBy]).toEqual([200, newer.id]);
    expect((await service.database.admin.query('select count(*) from job_reports')).rows).toEqual(rows);
  });

  it('from two devices at once succeeds for one, and tells the other which', async () => {
    const vehicleId = await newVehicle();
    const older = await posted(fleet.mechanic, job(vehicleId));
    const newer = [1, 2, 3, 4].map((n) => job(vehicleId, { supersedes: older.id, notes: `device ${n}` }));
    const answers = await Promise.all(newer.map((body) => fleet.mechanic.post('/v1/job-reports', body)));
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409, 409]);
    const winner = answers.find(({ status }) => status === 201)?.body.id as string;
    for (const { status, body } of answers.filter((answer) => answer.status === 409))
      expect([status, body.detail]).toEqual([409, expect.stringContaining(winner)]);
  });

  it('that was itself replaced continues from the newest only', async () => {
    const vehicleId = await newVehicle();
    const first = await posted(fleet.mechanic, job(vehicleId));
    const second = await posted(fleet.mechanic, job(vehicleId, { supersedes: first.id }));
    const answer = await fleet.mechanic.post('/v1/job-reports', job(vehicleId, { supersedes: first.id }));
    expect([answer.status, answer.body.type, answer.body.detail]).toEqual([
      ...[409, '/problems/already-superseded'],
      expect.stringContaining(`was replaced by ${second.id}. If that one is wrong, replace it instead.`),
    ]);
    const third = await posted(fleet.mechanic, job(vehicleId, { supersedes: second.id }));
    expect((await shown(second.id)).supersededBy).toBe(third.id);
    expect((await shown(first.id)).supersededBy).toBe(second.id);
  });

  it('is allowed to its sender for 24 hours after arrival, and to a manager at any time', async () => {
    const vehicleId = await newVehicle();
    const late = await posted(fleet.mechanic, job(vehicleId, { performedAt: '2026-03-01T14:00:00Z' }));
    const later = await posted(fleet.mechanic, job(vehicleId, { performedAt: '2026-03-02T14:00:00Z' }));
    service.clock.moveTo(new Date(Date.parse(NOW) + 24 * HOUR));
    const again = (id: string) => job(vehicleId, { supersedes: id, performedAt: '2026-03-01T14:30:00Z' });
    await posted(fleet.mechanic, again(late.id));
    service.clock.moveTo(new Date(Date.parse(NOW) + 24 * HOUR + 1000));
    expect(await refusal(fleet.mechanic, again(later.id))).toEqual([
      ...[409, '/problems/too-late-to-replace', '/supersedes'],
    ]);
    service.clock.moveTo(new Date(Date.parse(NOW) + 40 * 24 * HOUR));
    await posted(fleet.manager, again(later.id));
  });

  it('of a colleague is only for a manager', async () => {
    const vehicleId = await newVehicle();
    const { body: token } = await fleet.manager.post('/v1/tokens', {
      name: 'Second tablet',
      role: 'mechanic',
    });
    const colleague = service.client(token.token);
    const report = await posted(colleague, job(vehicleId));
    expect(await refusal(fleet.mechanic, job(vehicleId, { supersedes: report.id }))).toEqual([
      ...[409, '/problems/not-own-report', '/supersedes'],
    ]);
    expect((await shown(report.id)).voided).toBeNull();
    await posted(fleet.manager, job(vehicleId, { supersedes: report.id }));
  });

  it('is refused if the older one is unknown, of another fleet, itself or voided, and nothing is stored', async () => {
    const vehicleId = await newVehicle();
    const other = await service.newFleet();
    const otherVehicle = await other.manager.post('/v1/vehicles', { unitNumber: 'X' });
    const foreign = await posted(other.mechanic, job(otherVehicle.body.id));
    const voided = await posted(fleet.mechanic, job(vehicleId));
    await fleet.manager.post(`/v1/job-reports/${voided.id}/void`, { reason: 'not done' });
    const count = async () =>
      (await service.database.admin.query('select count(*) from job_reports')).rows[0].count;
    const before = await count();
    const self = uuidv7();
    for (const [supersedes, expected] of [
      [uuidv7(), [422, '/problems/unacceptable-content', '/supersedes']],
      [foreign.id, [422, '/problems/unacceptable-content', '/supersedes']],
      [self, [422, '/problems/unacceptable-content', '/supersedes']],
      ['x', [422, '/problems/unacceptable-content', '/supersedes']],
      [voided.id, [409, '/problems/already-voided', '/supersedes']],
    ] as const) {
      expect(await refusal(fleet.manager, job(vehicleId, { id: self, supersedes }))).toEqual(expected);
    }
    expect(await count()).toBe(before);
    expect((await other.mechanic.get(`/v1/job-reports/${foreign.id}`)).body.voided).toBeNull();
  });

  it('with an error leaves the older one as it was', async () => {
    const vehicleId = await newVehicle();
    const older = await posted(fleet.mechanic, job(vehicleId));
    const level = { kind: 'hold-test', method: 'vacuum', start: { value: 25, unit: 'psi' }, minutes: 5 };
    const readings = [{ ...level, end: { value: 25, unit: 'psi' } }];
    expect((await refusal(fleet.mechanic, job(vehicleId, { supersedes: older.id, readings })))[0]).toBe(422);
    expect(await shown(older.id)).toEqual(older);
    expect((await dueLine(vehicleId, 'coolant', 'replace')).lastDone.jobReportId).toBe(older.id);
  });

  it('works in a batch, even for a report of the same batch', async () => {
    const vehicleId = await newVehicle();
    const first = job(vehicleId);
    const second = job(vehicleId, { supersedes: first.id });
    const third = job(vehicleId, { supersedes: first.id, notes: 'no' });
    const { body } = await fleet.mechanic.post('/v1/job-reports/batch', { reports: [first, second, third] });
    expect(body.results.map((result: any) => result.status)).toEqual([201, 201, 409]);
    expect(body.results[1].report.notices).toEqual([]);
    expect(body.results[2].problem.errors[0].pointer).toBe('/reports/2/supersedes');
  });

  it('leaves nothing that a rebuild would change', async () => {
    const result = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
    expect(result.differences).toEqual([]);
  });
});
