import { getDataSourceToken } from '@nestjs/typeorm';
import type { DataSource } from 'typeorm';
import { beginPoll } from '../../../src/facts/telematics/polling/polling.queries.js';
import { inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { type Service, startService } from '../../support/service.js';

const NOW = new Date('2026-04-02T16:00:00Z');
const LATER = new Date('2026-04-02T16:01:00Z');

describe('the sources of one fleet', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ at: NOW.toISOString() });
  });
  afterAll(() => service.stop());

  it('are polled five at a time, so that slow ones leave room to other fleets', async () => {
    const { fleetId, manager } = await service.newFleet();
    const ids: string[] = [];
    for (const name of ['1', '2', '3', '4', '5', '6']) {
      const address = 'https://telematics.example.org/Fleet/1';
      const { body } = await manager.post('/v1/telematics-sources', { name, kind: 'iso-15143-3', address });
      ids.push(body.id);
    }
    const dataSource = service.app.get<DataSource>(getDataSourceToken());
    const scope = { fleetId, tokenId: null, role: null, timeZone: 'UTC', units: 'si' } as const;
    const begun = async (id?: string): Promise<string | undefined> =>
      (await inFleet(scope, () => beginPoll(dataSource.manager, fleetId, id ?? '', NOW, LATER)))?.id;
    for (const id of ids.slice(0, 5)) expect(await begun(id)).toBe(id);
    expect(await begun(ids[5])).toBeUndefined();
    const { admin } = service.database;
    await admin.query('update telematics_sources set polled_until = null where id = $1', [ids[0]]);
    expect(await begun(ids[5])).toBe(ids[5]);
  });
});
