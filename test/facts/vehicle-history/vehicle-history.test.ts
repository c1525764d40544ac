import { v7 as uuidv7 } from 'uuid';
import { costOf } from '../../support/plans.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { KNOWN_CODES } from '../../../src/domain/faults/meanings.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';

describe("a vehicle's history", () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    // What PostgreSQL plans depends on what its tables held before.
    service = await startService({ at: '2026-04-02T15:00:00Z', isAlone: true });
  });
  beforeEach(async () => {
    service.clock.moveTo('2026-04-02T15:00:00Z');
    fleet = await service.newFleet({ units: 'us' });
    scenario = await postScenario(fleet);
  });
  afterAll(() => service.stop());

  const history = async (query = ''): Promise<any> => {
    const answer = await fleet.dashboard.get(`/v1/vehicles/${scenario.vehicleId}/history${query}`);
    expect(answer.status).toBe(200);
    return answer.body;
  };

  async function topUp(takenAt: string, addedL: number): Promise<string> {
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${scenario.vehicleId}/readings`, {
      kind: 'top-up',
      takenAt,
      added: { value: addedL, unit: 'L' },
      toMark: true,
      strengthPercent: 50,
      planned: false,
    });
    expect(status).toBe(201);
    return body.id;
  }

  it('begins with the first assignment, on the day the vehicle went into service', async () => {
    expect(await history()).toEqual({
      items: [
        {
          what: 'assignment',
          id: expect.any(String),
          // Midnight in Denver on 15 March 2021, a day after the clocks went forward: UTC-6.
          at: '2021-03-15T06:00:00.000Z',
          effectiveOn: null,
          depotId: scenario.depotId,
          specSheetId: scenario.specSheetId,
          intervalPlanId: scenario.intervalPlanId,
          duty: 'severe',
          status: 'in-use',
        },
      ],
      next: null,
    });
  });

  it('shows jobs, readings, reassignments, alerts and people’s actions, newest first', async () => {
    const { vehicleId } = scenario;
    const firstTopUp = await topUp('2026-01-05T12:00:00Z', 0.4);
    const secondTopUp = await topUp('2026-01-17T12:00:00Z', 0.4);
    const [alert] = (await fleet.dashboard.get('/v1/loss-alerts')).body.items;
    const job = await fleet.mechanic.post(
      '/v1/job-reports',
      goodJob(vehicleId, '2026-02-03T12:00:00Z', 61_254),
    );
    expect(job.status).toBe(201);
    const moved = await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, {
      duty: 'normal',
      effectiveOn: '2026-03-01',
    });
    expect(moved.status).toBe(200);
    await fleet.manager.post(`/v1/loss-alerts/${alert.id}/clear`, { note: 'hose replaced' });

    const { items, next } = await history();
    expect(next).toBeNull();
    expect(items.map(({ what, at }: any) => [what, at])).toEqual([
      // At one instant the later record comes first: ids are made in the order of time (RFC 9562,
      // UUIDv7).
      ['loss-alert-action', '2026-04-02T15:00:00.000Z'],
      ['loss-alert-cleared', '2026-04-02T15:00:00.000Z'],
      ['assignment', '2026-03-01T07:00:00.000Z'],
      ['job-report', '2026-02-03T12:00:00.000Z'],
      ['loss-alert-raised', '2026-01-17T12:00:00.000Z'],
      ['reading', '2026-01-17T12:00:00.000Z'],
      ['reading', '2026-01-05T12:00:00.000Z'],
      ['assignment', '2021-03-15T06:00:00.000Z'],
    ]);
    const of = (what: string): any => items.find((item: any) => item.what === what);
    expect(of('loss-alert-action')).toMatchObject({
      alertId: alert.id,
      kind: 'repeat-top-ups',
      action: 'clear',
      note: 'hose replaced',
      until: null,
    });
    expect(of('loss-alert-cleared')).toMatchObject({
      id: alert.id,
      kind: 'repeat-top-ups',
      clearedBy: 'manager',
    });
    expect(of('loss-alert-raised')).toMatchObject({ id: alert.id, returned: false, standing: true });
    expect(of('assignment')).toMatchObject({ effectiveOn: '2026-03-01', duty: 'normal' });
    const readings = items.filter((item: any) => item.what === 'reading');
    expect(readings.map((item: any) => item.id)).toEqual([secondTopUp, firstTopUp]);
    expect(readings[0]).toMatchObject({ kind: 'top-up', verdict: null, voided: false });
    expect(of('job-report')).toMatchObject({
      id: job.body.id,
      performedBy: 'badge 7',
      odometer: { value: 61_254, unit: 'mi' },
      verdict: job.body.outcome.verdict,
      baseline: false,
      voided: false,
      voidReason: null,
    });
    expect(of('job-report').lines).toEqual([
      { component: 'water-pump', action: 'replace', item: null, failed: true, finding: 'seal weeping' },
      { component: 'coolant', action: 'replace', item: null, failed: false, finding: null },
      { component: 'drive-belt', action: 'replace', item: 'accessory', failed: false, finding: null },
    ]);
  });

  it('leaves out ordinary usage readings, and shows held and voided ones and new counters', async () => {
    const { vehicleId } = scenario;
    const read = (readAt: string, miles: number, more = {}): unknown => ({
      vehicleId,
      readAt,
      odometer: { value: miles, unit: 'mi' },
      ...more,
    });
    const posted = await fleet.mechanic.post('/v1/usage-readings', {
      readings: [
        read('2026-03-01T12:00:00Z', 60_000),
        read('2026-03-02T12:00:00Z', 60_040),
        read('2026-03-03T12:00:00Z', 60_080),
        read('2026-03-04T12:00:00Z', 50_000),
        read('2026-03-05T12:00:00Z', 10, { odometerReplaced: true }),
      ],
    });
    expect(posted.body).toMatchObject({ accepted: 4, held: 1 });
    const ids = posted.body.results.map((result: any) => result.id);
    await fleet.manager.post(`/v1/usage-readings/${ids[1]}/void`);
    const usage = (await history()).items.filter((item: any) => item.what === 'usage-reading');
    expect(usage.map((item: any) => [item.id, item.status, item.odometerReplaced])).toEqual([
      [ids[4], 'accepted', true],
      [ids[3], 'held', false],
      [ids[1], 'voided', false],
    ]);
    expect(usage[1]).toMatchObject({ odometer: { value: 50_000, unit: 'mi' }, reason: 'went-back' });
  });

  it('marks a voided job and keeps it', async () => {
    const job = await fleet.mechanic.post(
      '/v1/job-reports',
      goodJob(scenario.vehicleId, '2026-02-03T12:00:00Z', 61_254),
    );
    const voided = await fleet.manager.post(`/v1/job-reports/${job.body.id}/void`, {
      reason: 'wrong vehicle',
    });
    expect(voided.status).toBeLessThan(300);
    const [item] = (await history()).items.filter((entry: any) => entry.what === 'job-report');
    expect(item).toMatchObject({ id: job.body.id, voided: true, voidReason: 'wrong vehicle' });
  });

  it('shows when a fault began, was last seen and went away, and what it means', async () => {
    const { vehicleId } = scenario;
    const seen = (code: string, seenAt: string, more = {}) => ({ vehicleId, code, seenAt, ...more });
    const { status } = await fleet.mechanic.post('/v1/faults', {
      faults: [
        seen('SPN 111 FMI 1', '2026-01-10T12:00:00Z', { occurrences: 2 }),
        seen('SPN 111 FMI 1', '2026-01-20T12:00:00Z', { occurrences: 5 }),
        seen('SPN 111 FMI 1', '2026-01-25T12:00:00Z', { active: false }),
        seen('SPN 111 FMI 1', '2026-03-01T12:00:00Z'),
        seen('P0A06', '2026-02-01T12:00:00Z'),
        seen('P0420', '2026-02-02T12:00:00Z'),
        seen('P0217', '2026-02-03T12:00:00Z'),
      ],
    });
    expect(status).toBe(201);
    const [wrong] = (await fleet.dashboard.get(`/v1/faults?vehicleId=${vehicleId}&code=P0217`)).body.items;
    await fleet.manager.post(`/v1/faults/${wrong.id}/void`, { reason: 'wrong truck' });
    const faults = (await history()).items.filter(({ what }: any) => what.startsWith('fault'));
    const told = faults.map(({ what, at, code, state, lastSeenAt, goneAt, occurrences }: any) => [
      ...[what, at.slice(5, 10), code, state, lastSeenAt?.slice(5, 10), goneAt?.slice(5, 10), occurrences],
    ]);
    expect(told).toEqual([
      ['fault-began', '03-01', 'SPN 111 FMI 1', 'active', '03-01', undefined, null],
      ['fault-began', '02-03', 'P0217', 'voided', '02-03', undefined, null],
      ['fault-began', '02-01', 'P0A06', 'active', '02-01', undefined, null],
      ['fault-gone', '01-25', 'SPN 111 FMI 1', undefined, undefined, undefined, undefined],
      ['fault-began', '01-10', 'SPN 111 FMI 1', 'gone', '01-20', '01-25', 5],
    ]);
    expect(faults.map(({ meaning, circuit }: any) => `${circuit}: ${meaning.text}`)).toEqual([
      'engine: The coolant level is low',
      'engine: The engine overheated',
      'power-electronics: Power electronics circuit: Electrical fault of the coolant pump',
      'engine: The coolant level is low',
      'engine: The coolant level is low',
    ]);
    expect(faults[1].voidReason).toBe('wrong truck');
    expect(faults[4].id).toBe(faults[3].id);
    expect(faults[4]).toMatchObject({
      lastSeenAt: '2026-01-20T12:00:00.000Z',
      goneAt: '2026-01-25T12:00:00.000Z',
    });
    const paged: string[] = [];
    for (let cursor: string | null = ''; cursor !== null;) {
      const page: any = await history(`?limit=1${cursor && `&cursor=${cursor}`}`);
      paged.push(...page.items.filter(({ what }: any) => what.startsWith('fault')).map(({ at }: any) => at));
      cursor = page.next;
    }
    expect(paged).toEqual(faults.map(({ at }: any) => at));
  });

  it('pages through everything once, even many events at one instant', async () => {
    const { admin } = service.database;
    const at = '2026-02-01T12:00:00.123456Z';
    await admin.query(
      `insert into job_reports (fleet_id, id, vehicle_id, performed_at, content_hash)
       select $1, gen_random_uuid(), $2, $3, '\\x00' from generate_series(1, 4)`,
      [fleet.fleetId, scenario.vehicleId, at],
    );
    await admin.query(
      `insert into readings (fleet_id, id, vehicle_id, kind, taken_at, typed, canonical, evaluation, limits)
       select $1, gen_random_uuid(), $2, 'level-check', $3::timestamptz + n * interval '1 microsecond', '{}', '{}', '{"verdict":"pass"}', '{}'
       from generate_series(-1, 1) n`,
      [fleet.fleetId, scenario.vehicleId, at],
    );
    // Raised and cleared at one instant: two things of one id.
    const alertId = uuidv7();
    await admin.query(
      `insert into loss_alerts (fleet_id, id, vehicle_id, key, kind, status, raised_at, cleared_at, evidence, computed, check_next, cautions)
       values ($1, $3, $2, 'k', 'rising-loss', 'cleared', $4, $4, '[]', '{}', '[]', '[]')`,
      [fleet.fleetId, scenario.vehicleId, alertId, at],
    );
    const all = (await history()).items.map(({ what, id }: any) => `${what} ${id}`);
    expect(all).toHaveLength(10);
    const paged: string[] = [];
    for (let cursor: string | null = ''; cursor !== null;) {
      const page: any = await history(`?limit=1${cursor && `&cursor=${cursor}`}`);
      paged.push(...page.items.map(({ what, id }: any) => `${what} ${id}`));
      cursor = page.next;
    }
    expect(paged).toEqual(all);
    expect(new Set(paged).size).toBe(10);
    expect(paged).toEqual(
      expect.arrayContaining([`loss-alert-raised ${alertId}`, `loss-alert-cleared ${alertId}`]),
    );
  });

  it('answers 404 for a vehicle of another fleet, and 400 to a cursor of another vehicle', async () => {
    const other = await service.newFleet();
    expect((await other.manager.get(`/v1/vehicles/${scenario.vehicleId}/history`)).status).toBe(404);
    await topUp('2026-01-05T12:00:00Z', 0.3);
    const { next } = await history('?limit=1');
    const second = await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-115' });
    const misled = await fleet.manager.get(`/v1/vehicles/${second.body.id}/history?cursor=${next}`);
    expect(misled.status).toBe(400);
  });

  it('reads about as much as it shows of a vehicle with a long history', async () => {
    const { admin } = service.database;
    const values = [fleet.fleetId, scenario.vehicleId];
    await admin.query(
      `insert into usage_readings (fleet_id, id, vehicle_id, read_at, odometer_km, source, status)
       select $1, gen_random_uuid(), $2, '2016-01-01'::timestamptz + n * interval '1 day', n, 'dash', case when n % 500 = 0 then 'voided' else 'accepted' end
       from generate_series(1, 3650) n`,
      values,
    );
    await admin.query(
      `insert into job_reports (fleet_id, id, vehicle_id, performed_at, content_hash)
       select $1, gen_random_uuid(), $2, '2016-01-01'::timestamptz + n * interval '3 days', '\\x00' from generate_series(1, 1200) n`,
      values,
    );
    await admin.query(
      `insert into job_lines (fleet_id, job_report_id, position, vehicle_id, component, action)
       select fleet_id, id, n, vehicle_id, 'coolant', 'test' from job_reports, generate_series(0, 2) n where fleet_id = $1`,
      [fleet.fleetId],
    );
    await admin.query(
      `insert into readings (fleet_id, id, vehicle_id, job_report_id, position, kind, taken_at, typed, canonical, evaluation, limits)
       select fleet_id, gen_random_uuid(), vehicle_id, id, n, 'level-check', performed_at, '{}', '{}', '{}', '{}'
       from job_reports, generate_series(0, 2) n where fleet_id = $1`,
      [fleet.fleetId],
    );
    // Many episodes of one code, and as many of codes that mean nothing here.
    await admin.query(
      `insert into faults (fleet_id, id, vehicle_id, code, is_active, reported_by, first_at, last_at, listed_as, gone_at)
       select $1, gen_random_uuid(), $2, case when n % 2 = 0 then 'P0128' else 'P0' || (400 + n) end, true, 'source',
         '2016-01-01'::timestamptz + n * interval '9 days', '2016-01-01'::timestamptz + n * interval '9 days', 'gone',
         '2016-01-02'::timestamptz + n * interval '9 days'
       from generate_series(1, 400) n`,
      values,
    );
    await admin.query('analyze');
    const page = await history('?limit=50');
    const heard: string[] = [];
    const listen = (text: string): void => void heard.push(text);
    statementListeners.add(listen);
    try {
      expect((await history(`?limit=50&cursor=${page.next}`)).items).toHaveLength(50);
    } finally {
      statementListeners.delete(listen);
    }
    const text = heard.find((statement) => statement.includes('vehicle_assignments'));
    const [, at, id, what] = JSON.parse(Buffer.from(page.next, 'base64url').toString());
    for (const plan of ['force_custom_plan', 'force_generic_plan'] as const) {
      const cost = await costOf(
        admin,
        fleet.fleetId,
        {
          text: text ?? '',
          values: [...values, 'America/Denver', '1950-01-01', 51, KNOWN_CODES, at, id, what],
        },
        plan,
      );
      expect(cost.rows).toBe(51);
      const large = ['usage_readings', 'job_reports', 'job_lines', 'readings', 'faults'];
      expect(cost.seqScans.filter((table) => large.includes(table))).toEqual([]);
      // Ten pages a row is what its index, its table and its lines take.
      expect(cost.buffers).toBeLessThanOrEqual(10 * 51);
      // Every other fault means nothing here, when it began and when it was gone.
      expect(cost.rowsRemoved).toBeLessThanOrEqual(3 * 51);
    }
  });
});
