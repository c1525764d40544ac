import type { DataSource } from 'typeorm';
import { ListFaults1796074000000 } from '../../../migrations/1796074000000-list-faults.js';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T20:00:00Z';
const DAY = 24 * 3_600_000;

describe('how faults are listed', () => {
  let service: Service;
  let owner: DataSource;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: NOW, isAlone: true });
    fleet = await service.newFleet();
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test listed faults', schema },
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  /** By days before now: when a code was seen active, or as gone. */
  async function post(unitNumber: string, code: string, ...seen: [days: number, active: boolean][]) {
    const faults = seen.map(([days, active]) => ({
      ...{ unitNumber, code, active },
      seenAt: new Date(Date.parse(NOW) - days * DAY).toISOString(),
    }));
    const { status, body } = await fleet.mechanic.post('/v1/faults', { faults });
    expect(status).toBe(201);
    return body.faults;
  }
  const listed = async (): Promise<unknown[]> =>
    (
      await service.database.admin.query(
        `select code, listed_as, gone_at from faults where fleet_id = $1 order by code, first_at, is_active`,
        [fleet.fleetId],
      )
    ).rows;

  it('is filled in by the migration as a rebuild has it', async () => {
    for (const unitNumber of ['L-1', 'L-2']) await fleet.manager.post('/v1/vehicles', { unitNumber });
    await post('L-1', 'P0217', [90, true], [80, true], [79, false], [60, true], [59.5, false], [59.2, true]);
    await post('L-1', 'P0420', [50, true], [40, false], [30, true], [20, true]);
    await post('L-2', 'P0217', [70, false], [60, true]);
    await post('L-2', 'P2560', [30, true], [20, true], [10, false]);
    const [voided] = await post('L-2', 'P0128', [9, true]);
    await fleet.manager.post(`/v1/faults/${voided.id}/void`, { reason: 'wrong truck' });
    const before = await listed();
    expect(before).toHaveLength(15);
    expect(new Set(before.map(({ listed_as: as }: any) => as))).toEqual(
      new Set(['active', 'gone', 'voided', null]),
    );

    const migration = new ListFaults1796074000000();
    const run = owner.createQueryRunner();
    await migration.down(run);
    await migration.up(run);
    await run.release();
    expect(await listed()).toEqual(before);
    const { url: databaseUrl } = service.database;
    const { differences } = await rebuildAll({ databaseUrl, schema, clock: service.clock });
    expect(differences).toEqual([]);
  });
});
