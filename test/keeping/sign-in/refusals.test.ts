import { codeOf, pageAt } from '../../support/browser-client.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('sign-ins that are refused', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ env: { REFUSALS_PER_MINUTE: '5' } });
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  it('are limited by address, and stop nobody who is signed in or has a token', async () => {
    const { body: kim } = await fleet.manager.post('/v1/people', { name: 'Kim', role: 'mechanic' });
    const link = async (): Promise<string> =>
      codeOf((await fleet.manager.post(`/v1/people/${kim.id}/sign-in-links`)).body.url);
    const page = pageAt(service.url);
    expect((await page.post('/v1/sessions', { code: await link() })).status).toBe(201);
    const guess = () => pageAt(service.url).post('/v1/sessions', { code: `whl_${'a'.repeat(27)}` });
    const statuses: number[] = [];
    for (let turn = 0; turn < 8; turn++) statuses.push((await guess()).status);
    expect(statuses).toEqual([401, 401, 401, 401, 401, 429, 429, 429]);
    const refused = await pageAt(service.url).post('/v1/sessions', { code: await link() });
    expect([refused.status, refused.body.type, Number(refused.headers.get('retry-after')) > 0]).toEqual([
      ...[429, '/problems/too-many-refusals', true],
    ]);
    expect((await page.get('/v1/me')).status).toBe(200);
    expect((await fleet.manager.get('/v1/me')).status).toBe(200);
    expect((await service.client(null).get('/v1/me')).status).toBe(401);
  });
});
