import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { assignVehicle } from '../../support/vehicles.js';
import { inText } from '../../support/told.js';

describe('depots', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService();
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  it("stores a depot, shows it in the fleet's units, and in others on request", async () => {
    const created = await fleet.manager.post('/v1/depots', {
      name: 'Ridge',
      elevation: { value: 1500, unit: 'm' },
    });
    expect(created.status).toBe(201);
    expect(created.body.elevation).toEqual({ value: 4921.259843, unit: 'ft' });
    const read = await fleet.dashboard.get(`/v1/depots/${created.body.id}?units=si`);
    expect(read.body.elevation).toEqual({ value: 1500, unit: 'm' });
    expect(read.headers.get('etag')).toBe('"1"');
  });

  it('changes a depot by merge patch under If-Match', async () => {
    const { body: depot } = await fleet.manager.post('/v1/depots', {
      name: 'Harbour',
      labourHoursPerDay: 16,
    });
    const stale = await fleet.manager.patch(
      `/v1/depots/${depot.id}`,
      { name: 'Quay' },
      { 'if-match': '"7"' },
    );
    expect(stale.status).toBe(412);
    const changed = await fleet.manager.patch(
      `/v1/depots/${depot.id}`,
      { name: 'Quay', labourHoursPerDay: null },
      { 'if-match': '"1"', 'content-type': 'application/merge-patch+json' },
    );
    expect(changed.status).toBe(200);
    expect(changed.body).toMatchObject({ name: 'Quay', labourHoursPerDay: null, version: 2 });
  });

  it('names the field, the value and the accepted units when it refuses', async () => {
    const refused = await fleet.manager.post('/v1/depots', {
      name: 'X',
      elevation: { value: 3, unit: 'psi' },
      colour: 'red',
    });
    expect(refused.status).toBe(422);
    expect(refused.headers.get('content-type')).toContain('application/problem+json');
    expect(inText(refused.body.errors)).toEqual(
      expect.arrayContaining([
        {
          pointer: '/elevation',
          detail: expect.stringContaining('accepted here are mm, in, ft, m, km and mi'),
        },
        { pointer: '/colour', detail: 'is not a field that is known here' },
      ]),
    );
  });

  it('answers 401 without a token, 403 to the wrong role, 404 to another fleet', async () => {
    const { body: depot } = await fleet.manager.post('/v1/depots', { name: 'Mine' });
    expect((await service.client(null).get('/v1/depots')).status).toBe(401);
    expect((await fleet.mechanic.post('/v1/depots', { name: 'No' })).status).toBe(403);
    const other = await service.newFleet();
    expect((await other.manager.get(`/v1/depots/${depot.id}`)).status).toBe(404);
    expect((await other.manager.delete(`/v1/depots/${depot.id}`)).status).toBe(404);
    expect((await fleet.manager.delete(`/v1/depots/${depot.id}`)).status).toBe(204);
  });

  it('distinguishes a wrong method from a wrong path', async () => {
    const wrong = await fleet.manager.send('PUT', '/v1/depots', '{}');
    expect(wrong.status).toBe(405);
    expect(wrong.headers.get('allow')).toBe('GET, POST');
    expect((await fleet.manager.get('/v1/nothing')).status).toBe(404);
  });

  it('pages by name without skipping or repeating', async () => {
    const own = await service.newFleet();
    for (const name of ['d', 'a', 'c', 'b', 'e']) await own.manager.post('/v1/depots', { name });
    const names: string[] = [];
    for (let path: string | null = '/v1/depots?limit=2'; path;) {
      const page: any = await own.manager.get(path);
      names.push(...page.body.items.map((depot: any) => depot.name));
      path = page.body.next ? `/v1/depots?limit=2&cursor=${page.body.next}` : null;
    }
    expect(names).toEqual(['a', 'b', 'c', 'd', 'e']);
  });

  it('pages by names of the greatest length, in any script', async () => {
    const own = await service.newFleet();
    for (const letter of ['甲', '乙', '\u0001'])
      expect((await own.manager.post('/v1/depots', { name: letter.repeat(119) + 'x' })).status).toBe(201);
    let pages = 0;
    for (let path: string | null = '/v1/depots?limit=1'; path; pages++) {
      const page: any = await own.manager.get(path);
      expect(page.status).toBe(200);
      path = page.body.next ? `/v1/depots?limit=1&cursor=${page.body.next}` : null;
    }
    expect(pages).toBe(3);
  });

  it('keeps a depot as long as a vehicle has or ever had it as its home', async () => {
    const { body: home } = await fleet.manager.post('/v1/depots', { name: 'Home' });
    const { body: former } = await fleet.manager.post('/v1/depots', { name: 'Former home' });
    await assignVehicle(service, fleet, { depot_id: home.id }, { depot_id: former.id });
    for (const { id } of [home, former]) {
      const refused = await fleet.manager.delete(`/v1/depots/${id}`);
      expect(refused.status).toBe(409);
      expect(refused.body.type).toBe('/problems/in-use');
      expect((await fleet.manager.get(`/v1/depots/${id}`)).status).toBe(200);
    }
  });

  it('gives one answer for an Idempotency-Key and does the work once', async () => {
    const headers = { 'idempotency-key': 'depot-1' };
    const first = await fleet.manager.post('/v1/depots', { name: 'Once' }, headers);
    const second = await fleet.manager.post('/v1/depots', { name: 'Once' }, headers);
    expect(second.status).toBe(201);
    expect(second.body).toEqual(first.body);
    const other = await fleet.manager.post('/v1/depots', { name: 'Twice' }, headers);
    expect(other.status).toBe(422);
  });
});
