import type { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { TellVoidReasonsAsMessages1796054516520 } from '../../../migrations/1796054516520-tell-void-reasons-as-messages.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { schema } from '../../../src/schema.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('why a job report was voided', () => {
  let service: Service;
  let owner: DataSource;
  let fleet: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z', isAlone: true });
    fleet = await service.newFleet({ units: 'us' });
    ({ vehicleId } = await postScenario(fleet));
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test void reasons', schema },
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  async function posted(more: object = {}): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/job-reports', {
      ...{ id: uuidv7(), vehicleId, performedAt: '2026-04-02T14:00:00Z', ...more },
      lines: [{ component: 'thermostat', action: 'replace' }],
    });
    expect(status).toBe(201);
    return body.id;
  }
  const reasonOf = async (id: string, language = 'en') =>
    (await fleet.dashboard.get(`/v1/job-reports/${id}`, { 'accept-language': language })).body.voided.reason;

  it('is a message if the service voided it, and what a person typed stays as it is', async () => {
    const wrong = await posted();
    const right = await posted({ supersedes: wrong });
    const typed = `superseded by ${right}`;
    expect((await fleet.manager.post(`/v1/job-reports/${right}/void`, { reason: typed })).status).toBe(200);
    expect(await reasonOf(wrong, 'es')).toEqual({
      code: 'voided-superseded',
      values: { by: right },
      text: `Lo reemplazó el reporte ${right}.`,
    });
    expect(await reasonOf(right, 'es')).toBe(typed);
    const again = await fleet.manager.post(`/v1/job-reports/${wrong}/void`, { reason: 'wrong vehicle' });
    expect([again.status, again.body.detail]).toEqual([
      409,
      `This report was voided already: Replaced by report ${right}.`,
    ]);

    const migration = new TellVoidReasonsAsMessages1796054516520();
    const run = owner.createQueryRunner();
    await migration.down(run);
    const { rows } = await service.database.admin.query(
      'select void_reason from job_reports where void_reason is not null order by id',
    );
    expect(rows).toEqual([{ void_reason: typed }, { void_reason: typed }]);
    await migration.up(run);
    await run.release();
    expect(await reasonOf(wrong)).toMatchObject({ code: 'voided-superseded', values: { by: right } });
    expect(await reasonOf(right)).toBe(typed);
  });
});
