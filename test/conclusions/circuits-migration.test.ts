import type { DataSource } from 'typeorm';
import { TellCircuitsApart1796070000000 } from '../../migrations/1796070000000-tell-circuits-apart.js';
import { NameCircuitsOfAlerts1796070000001 } from '../../migrations/1796070000001-name-circuits-of-alerts.js';
import { rebuildAll } from '../../src/conclusions/pipeline/rebuild.js';
import { openDataSource } from '../../src/platform/database/data-source.js';
import { schema } from '../../src/schema.js';
import { pressureTest } from '../support/findings-at-once.js';
import { goodJob, postScenario } from '../support/scenario.js';
import { type Service, startService } from '../support/service.js';

describe('vehicles from before circuits were told apart', () => {
  let service: Service;
  let owner: DataSource;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z', isAlone: true });
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test circuits', schema },
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  it('have one circuit after the migration, and a rebuild finds no difference', async () => {
    const fleet = await service.newFleet();
    const { vehicleId } = await postScenario(fleet);
    await fleet.mechanic.post('/v1/job-reports', goodJob(vehicleId, '2026-03-01T18:00:00Z', 60_000));
    await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId, performedAt: '2026-04-01T18:00:00Z', readings: [pressureTest(12)] },
      lines: [{ component: 'coolant', action: 'test' }],
    });
    const lines = async () =>
      (await service.database.admin.query('select * from due_lines order by id')).rows;
    const before = await lines();
    expect(before.length).toBeGreaterThan(4);
    const run = owner.createQueryRunner();
    await new NameCircuitsOfAlerts1796070000001().down(run);
    await new TellCircuitsApart1796070000000().down(run);
    await service.database.admin.query(`update spec_sheets set circuit = 'Charge air'`);
    await new TellCircuitsApart1796070000000().up(run);
    await new NameCircuitsOfAlerts1796070000001().up(run);
    await run.release();
    expect(
      (await service.database.admin.query('select circuit, circuit_note, other_circuits from spec_sheets'))
        .rows,
    ).toEqual([{ circuit: 'charge-air', circuit_note: 'Charge air', other_circuits: [] }]);
    expect(await lines()).toEqual(before);
    const { differences, vehicles } = await rebuildAll({
      ...{ databaseUrl: service.database.url, schema, clock: service.clock },
    });
    expect([vehicles, differences]).toEqual([1, []]);
  });
});
