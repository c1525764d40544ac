import { createRequire } from 'node:module';
import pg from 'pg';
import { goodJob, postScenario } from '../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../support/service.js';

interface Statement {
  text: string;
  values: unknown[];
}

/** Every statement that TypeORM hands to the database goes through this one method, whoever wrote it. */
const { PostgresQueryRunner } = createRequire(import.meta.url)(
  'typeorm/driver/postgres/PostgresQueryRunner',
) as { PostgresQueryRunner: { prototype: { query: (...all: unknown[]) => unknown } } };

describe('what the service asks its database', () => {
  let service: Service;
  let fleet: FleetHandle;
  let other: FleetHandle;
  const heard = new Map<string, Statement>();
  const original = PostgresQueryRunner.prototype.query;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z', withWorker: true });
    fleet = await service.newFleet();
    other = await service.newFleet();
    await postScenario(other);
    PostgresQueryRunner.prototype.query = function hear(...all: unknown[]) {
      const [text, values] = all;
      if (typeof text === 'string') heard.set(text, { text, values: (values as unknown[]) ?? [] });
      return original.apply(this, all);
    };
    await useEverything();
    PostgresQueryRunner.prototype.query = original;
  });
  afterAll(async () => {
    PostgresQueryRunner.prototype.query = original;
    await service.stop();
  });

  /** A fleet's day: what people post, change and look at. */
  async function useEverything(): Promise<void> {
    const { manager, mechanic, dashboard } = fleet;
    const own = await postScenario(fleet);
    const posted = await mechanic.post(
      '/v1/job-reports',
      goodJob(own.vehicleId, '2026-03-02T10:00:00Z', 9010),
    );
    for (const takenAt of ['2026-03-10T12:00:00Z', '2026-03-20T12:00:00Z'])
      await mechanic.post(`/v1/vehicles/${own.vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 0.5, unit: 'L' }, toMark: true, planned: false },
      });
    await mechanic.post('/v1/usage-readings', {
      readings: [
        { vehicleId: own.vehicleId, readAt: '2026-03-28T10:00:00Z', odometer: { value: 9500, unit: 'mi' } },
        { vehicleId: own.vehicleId, readAt: '2026-03-29T10:00:00Z', odometer: { value: 20, unit: 'mi' } },
      ],
    });
    await manager.post('/v1/reminder-targets', { kind: 'webhook', address: 'http://127.0.0.1:9/' });
    await manager.patch(`/v1/vehicles/${own.vehicleId}`, { duty: 'normal' });
    await manager.patch(`/v1/depots/${own.depotId}`, { designLowTemperature: { value: -45, unit: 'C' } });
    const line = (await manager.get('/v1/due-list?state=late,due,window,not-due,no-baseline')).body.items[0];
    const alert = (await manager.get('/v1/loss-alerts')).body.items[0];
    await mechanic.post(`/v1/loss-alerts/${alert.id}/acknowledge`);
    const held = (await manager.get('/v1/usage-readings?status=held')).body.items[0];
    await manager.post(`/v1/usage-readings/${held.id}/discard`, { reason: 'misread' });
    for (const path of [
      ...[
        'due-list',
        'due-list/summary',
        'due-list?q=R',
        'due-list.csv',
        'due-list.ics',
        'vehicles',
        'vehicles.csv',
      ],
      ...[
        'depots',
        'spec-sheets',
        'interval-plans',
        'job-reports',
        'loss-alerts',
        'reminders',
        'audit',
        'tokens',
      ],
      ...['history', 'loss-trend', 'readings', 'usage', 'job-card'].map(
        (of) => `vehicles/${own.vehicleId}/${of}`,
      ),
      ...[`vehicles/${own.vehicleId}`, `depots/${own.depotId}`, `job-reports/${posted.body.id}`],
      ...[`loss-alerts/${alert.id}`, 'interval-advice?component=water-pump', 'fleet'],
    ])
      expect([path, (await manager.get(`/v1/${path}`)).status]).toEqual([path, 200]);
    await manager.post(`/v1/due-list/${line.id}/postpone`, { until: '2026-05-01', reason: 'no part' });
    await manager.post(`/v1/job-reports/${posted.body.id}/void`, { reason: 'the wrong vehicle' });
    await dashboard.get('/v1/due-list');
  }

  /** Runs a statement as the service would on behalf of another fleet, or of none, and undoes it. */
  async function outcome(client: pg.Client, { text, values }: Statement): Promise<string> {
    await client.query('begin');
    try {
      const { rows, rowCount, command } = await client.query(text, values);
      const isWrite = ['INSERT', 'UPDATE', 'DELETE'].includes(command);
      return `${isWrite ? `${command} of ${rowCount}` : ''}${JSON.stringify(rows)}`;
    } catch (error) {
      return `refused: ${(error as { code?: string }).code}`;
    } finally {
      await client.query('rollback');
    }
  }

  it('is asked in many ways, most of them about one fleet', () => {
    expect(heard.size).toBeGreaterThan(100);
    const written = [...heard.keys()].filter((text) => /^\s*(with|insert|update|delete)/i.test(text));
    expect(written.length).toBeGreaterThan(20);
  });

  it.each([
    ['outside any fleet', () => ''],
    ['for another fleet', () => other.fleetId],
  ])('is answered with nothing of the fleet, and changes nothing of it, %s', async (_, scope) => {
    const client = new pg.Client({ connectionString: service.database.url, options: '-c role=weephole_app' });
    await client.connect();
    const { rows } = await service.database.admin.query<{ id: string }>(
      `select id from vehicles where fleet_id = $1 union all select id from depots where fleet_id = $1
       union all select id from due_lines where fleet_id = $1 union all select id from job_reports where fleet_id = $1
       union all select id from loss_alerts where fleet_id = $1 union all select id from readings where fleet_id = $1
       union all select id from usage_readings where fleet_id = $1 union all select id from reminder_targets where fleet_id = $1`,
      [fleet.fleetId],
    );
    const ids = rows.map(({ id }) => id);
    expect(ids.length).toBeGreaterThan(20);
    const told: unknown[] = [];
    try {
      await client.query("select set_config('app.fleet_id', $1, false)", [scope()]);
      for (const statement of heard.values()) {
        if (/^\s*(start transaction|begin|commit|rollback|savepoint|release)/i.test(statement.text)) continue;
        const answer = await outcome(client, statement);
        const known = ids.filter(
          (id) => answer.includes(id) && !JSON.stringify(statement.values).includes(id),
        );
        const changed = /^(INSERT|UPDATE|DELETE) of [1-9]/.test(answer);
        if (known.length > 0 || changed) told.push([statement.text.slice(0, 160), answer.slice(0, 160)]);
      }
    } finally {
      await client.end();
    }
    expect(told).toEqual([]);
  });
});
