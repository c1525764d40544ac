import type { DataSource } from 'typeorm';
import { NameLinesInOutcomes1796000200000 } from '../../migrations/1796000200000-name-lines-in-outcomes.js';
import { TellCausesAsMessages1796040984171 } from '../../migrations/1796040984171-tell-causes-as-messages.js';
import { openDataSource } from '../../src/platform/database/data-source.js';
import { schema } from '../../src/schema.js';
import { pressureTest } from '../support/findings-at-once.js';
import { type Service, startService } from '../support/service.js';

describe('outcomes that hold only the ids of lines', () => {
  let service: Service;
  let owner: DataSource;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z', isAlone: true });
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test outcomes', schema },
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  it('name the lines after the migration in every fleet, and hold only ids again after its undo', async () => {
    for (let fleets = 0; fleets < 2; fleets++) {
      const fleet = await service.newFleet();
      const { id: vehicleId } = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' })).body;
      for (const readings of [[pressureTest(12)], []]) {
        const { status } = await fleet.mechanic.post('/v1/job-reports', {
          ...{ vehicleId, performedAt: '2026-04-02T12:00:00Z', readings },
          lines: [{ component: 'coolant', action: readings.length === 0 ? 'inspect' : 'replace' }],
        });
        expect(status).toBe(201);
      }
    }
    const outcomes = async (): Promise<any[]> =>
      (await service.database.admin.query('select outcome from job_reports order by id')).rows.map(
        ({ outcome }) => outcome,
      );
    const run = owner.createQueryRunner();
    // The migration ran when a cause was still a text.
    await new TellCausesAsMessages1796040984171().down(run);
    const named = await outcomes();
    const counts = named.map(({ followUps }) => followUps.length).sort();
    expect(counts).toEqual([0, 0, 2, 2]);
    const causes = named.flatMap(({ followUps }) => followUps.map(({ cause }: any) => cause));
    expect(causes).toEqual([...Array(4)].map(() => expect.any(String)));
    const migration = new NameLinesInOutcomes1796000200000();
    await migration.down(run);
    expect(await outcomes()).toEqual(
      named.map((outcome) => ({ ...outcome, followUps: outcome.followUps.map(({ id }: any) => id) })),
    );
    await migration.up(run);
    expect(await outcomes()).toEqual(named);
    await run.release();
  });
});
