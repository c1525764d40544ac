import { type Client, clientOf } from '../../support/client.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('labels of vehicles', () => {
  let service: Service;
  let fleet: FleetHandle;
  let manager: Client;
  let own: Scenario;

  beforeAll(async () => {
    service = await startService();
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo('2026-04-02T15:00:00Z');
    fleet = await service.newFleet();
    ({ manager } = fleet);
    own = await postScenario(fleet, { unitNumber: 'R-12' });
  });

  const pathOf = (vehicleId = own.vehicleId) => `/v1/vehicles/${vehicleId}/label`;
  const add = async (unitNumber: string, depotId: string | null): Promise<string> => {
    const { status, body } = await manager.post('/v1/vehicles', {
      ...{ unitNumber, depotId, duty: 'normal', status: 'in-use' },
    });
    expect([status, body.errors]).toEqual([201, undefined]);
    return body.id;
  };

  it('are made once, renewed and revoked, and no two have anything in common that could be guessed', async () => {
    expect((await manager.get(pathOf())).status).toBe(404);
    const first = await manager.post(pathOf());
    expect([first.status, first.body]).toEqual([
      201,
      {
        ...{
          vehicleId: own.vehicleId,
          unitNumber: 'R-12',
          takes: 'none',
          madeAt: '2026-04-02T15:00:00.000Z',
        },
        address: expect.stringMatching(new RegExp(`^${service.url}/l/[\\w-]{43}$`)),
      },
    ]);
    const again = await manager.post(pathOf());
    expect([again.status, again.body]).toEqual([200, first.body]);
    expect((await fleet.mechanic.get(pathOf())).body).toEqual(first.body);
    await manager.patch('/v1/fleet', { driverLabels: 'defects' });
    const renewed = await manager.post(`${pathOf()}/renew`);
    expect(renewed.body).toMatchObject({ takes: 'defects' });
    const secretOf = ({ body }: { body: { address: string } }) =>
      Buffer.from(body.address.slice(-43), 'base64url').subarray(16);
    const [before, after] = [secretOf(first), secretOf(renewed)];
    expect(before).toHaveLength(16);
    expect(before.filter((byte, index) => byte === after[index]).length).toBeLessThan(6);
    expect((await manager.delete(pathOf())).status).toBe(204);
    expect((await manager.delete(pathOf())).status).toBe(404);
    expect((await manager.post(`${pathOf()}/renew`)).status).toBe(404);
  });

  it('lead who is signed in to the vehicle, in their own fleet and depots only, on or off', async () => {
    const { body: made } = await manager.post(pathOf());
    const code = made.address.slice(-43);
    const find = (client: Client, of = code) => client.get(`/v1/vehicle-labels/${of}`);
    expect((await find(fleet.mechanic)).body).toEqual(made);
    const elsewhere = (await manager.post('/v1/depots', { name: 'Elsewhere' })).body.id;
    const boundTo = async (depotId: string | null): Promise<Client> => {
      const bound = { name: 'bound', role: 'mechanic', depotIds: [depotId] };
      return clientOf(service.url, (await manager.post('/v1/tokens', bound)).body.token);
    };
    expect((await find(await boundTo(own.depotId))).body).toEqual(made);
    const other = await service.newFleet();
    const nobodys = `${code.slice(0, 30)}${code[30] === 'A' ? 'B' : 'A'}${code.slice(31)}`;
    const unknown = [
      await find(await boundTo(elsewhere)),
      await find(other.manager),
      ...(await Promise.all([nobodys, code.slice(1), `${code}A`, '%00', 'x'].map((of) => find(manager, of)))),
    ];
    for (const { status, body } of unknown)
      expect([status, body.detail]).toEqual([404, 'There is no such label in this fleet.']);
    expect((await find(fleet.dashboard)).status).toBe(403);
    const renewed = (await manager.post(`${pathOf()}/renew`)).body.address.slice(-43);
    expect((await find(manager)).status).toBe(404);
    expect((await find(manager, renewed)).body.vehicleId).toBe(own.vehicleId);
  });

  it('are audited without their codes', async () => {
    const { body: made } = await manager.post(pathOf());
    service.clock.moveTo('2026-04-02T15:01:00Z');
    const { body: renewed } = await manager.post(`${pathOf()}/renew`);
    service.clock.moveTo('2026-04-02T15:02:00Z');
    await manager.delete(pathOf());
    const { body } = await manager.get('/v1/audit?kind=vehicle-label');
    expect(body.items.map(({ action }: any) => action)).toEqual(['deleted', 'changed', 'created']);
    expect(body.items[1].changes).toEqual({ secret: { hidden: true } });
    for (const { address } of [made, renewed]) {
      const secret = Buffer.from(address.slice(-43), 'base64url').subarray(16);
      const { rows } = await service.database.admin.query('select changes::text from audit_entries');
      expect(JSON.stringify(rows)).not.toContain(secret.toString('hex'));
    }
  });

  it('are made for all vehicles of a depot that have none', async () => {
    const ids = [await add('R-13', own.depotId), await add('R-14', own.depotId)];
    const elsewhere = await add('Q-1', null);
    await manager.patch(`/v1/vehicles/${ids[1]}`, { status: 'disposed' });
    const first = (await manager.post(pathOf())).body;
    expect((await manager.post('/v1/vehicle-labels', { depotId: own.depotId })).body).toEqual({
      ...{ made: 1, complete: true },
    });
    expect((await manager.get(pathOf())).body).toEqual(first);
    const listed = async (query: string) =>
      (await manager.get(`/v1/vehicle-labels${query}`)).body.items.map(({ unitNumber }: any) => unitNumber);
    expect(await listed('')).toEqual(['R-12', 'R-13']);
    const unknown = await manager.post('/v1/vehicle-labels', { depotId: elsewhere });
    expect([unknown.status, unknown.body.errors[0].pointer]).toEqual([422, '/depotId']);
    expect((await manager.post('/v1/vehicle-labels', {})).body.made).toBe(1);
    expect(await listed('')).toEqual(['Q-1', 'R-12', 'R-13']);
    expect(await listed(`?depotId=${own.depotId}`)).toEqual(['R-12', 'R-13']);
    const { body } = await manager.get('/v1/vehicle-labels?limit=2');
    expect(await listed(`?limit=2&cursor=${body.next}`)).toEqual(['R-13']);
    expect((await manager.post(pathOf(ids[1]))).status).toBe(422);
    expect((await manager.delete(pathOf(elsewhere))).status).toBe(204);
  });

  it('are listed and printed of some vehicles, named by their ids', async () => {
    const ids = [await add('R-13', own.depotId), await add('R-14', own.depotId)];
    await manager.post('/v1/vehicle-labels', {});
    const named = `/v1/vehicle-labels?vehicleIds=${own.vehicleId},${ids[1]}`;
    const { body } = await manager.get(named);
    expect(body.items.map(({ unitNumber }: any) => unitNumber)).toEqual(['R-12', 'R-14']);
    expect((await manager.get(`${named}&format=html`)).body.match(/<svg /g)).toHaveLength(2);
    const { body: first } = await manager.get(`${named}&limit=1`);
    expect((await manager.get(`${named}&limit=1&cursor=${first.next}`)).body.items).toHaveLength(1);
    const other = await manager.get(`/v1/vehicle-labels?limit=1&cursor=${first.next}`);
    expect(other.status).toBe(400);
    const stranger = await (await service.newFleet()).manager.get(named);
    expect(stranger.body.items).toEqual([]);
    for (const wrong of ['x', `${own.vehicleId},`, Array(101).fill(own.vehicleId).join()]) {
      const refused = await manager.get(`/v1/vehicle-labels?vehicleIds=${wrong}`);
      expect([refused.status, refused.body.errors[0].parameter]).toEqual([400, 'vehicleIds']);
    }
  });

  it('go with a vehicle that is deleted', async () => {
    const id = await add('R-13', own.depotId);
    await manager.post(pathOf(id));
    expect((await manager.delete(`/v1/vehicles/${id}`)).status).toBe(204);
    expect((await manager.get('/v1/vehicle-labels')).body.items).toEqual([]);
  });

  it('are printed as a sheet in two languages, the fleet’s first, with unit numbers as text', async () => {
    await add('<b>&"1', own.depotId);
    await manager.post('/v1/vehicle-labels', {});
    await manager.patch('/v1/fleet', { language: 'es' });
    const { status, headers, body } = await manager.get('/v1/vehicle-labels', { accept: 'text/html' });
    expect([status, headers.get('content-type')]).toEqual([200, 'text/html; charset=utf-8']);
    expect(body.match(/<svg /g)).toHaveLength(2);
    expect(body).toContain('&lt;b&gt;&amp;&quot;1');
    expect(body.indexOf('Escanee')).toBeLessThan(body.indexOf('Scan, tap, send'));
    expect(headers.get('content-security-policy')).toContain("default-src 'none'");
    const one = await manager.get(`${pathOf()}?format=html`);
    expect(one.body.match(/<svg /g)).toHaveLength(1);
    const svg = await manager.get(`${pathOf()}.svg`);
    expect(svg.headers.get('content-type')).toBe('image/svg+xml; charset=utf-8');
    expect(svg.body).toMatch(/^<svg /);
    const page = await manager.get('/v1/vehicle-labels?format=html&limit=1');
    expect(page.headers.get('link')).toContain('rel="next"');
  });

  it('are out of reach of other fleets, of other depots, and of roles that may not report', async () => {
    await manager.post(pathOf());
    const other = await service.newFleet();
    for (const path of [pathOf(), `${pathOf()}.svg`])
      expect((await other.manager.get(path)).status).toBe(404);
    expect((await other.manager.post(pathOf())).status).toBe(404);
    expect((await other.manager.delete(pathOf())).status).toBe(404);
    expect((await other.manager.get('/v1/vehicle-labels')).body.items).toEqual([]);
    expect((await fleet.dashboard.get(pathOf())).status).toBe(403);
    expect((await fleet.mechanic.post(pathOf())).status).toBe(403);
    const { body: depot } = await manager.post('/v1/depots', { name: 'Far' });
    const { body } = await manager.post('/v1/tokens', {
      name: 'far',
      role: 'mechanic',
      depotIds: [depot.id],
    });
    const far = clientOf(service.url, body.token);
    expect((await far.get(pathOf())).status).toBe(404);
    expect((await far.get('/v1/vehicle-labels')).body.items).toEqual([]);
  });

  it('begin with the address that is set for drivers', async () => {
    const set = await startService({ env: { PUBLIC_URL: 'https://weephole.example/' } });
    try {
      const theirs = await set.newFleet();
      const { vehicleId } = await postScenario(theirs);
      const { body } = await theirs.manager.post(pathOf(vehicleId));
      expect(body.address).toMatch(/^https:\/\/weephole\.example\/l\//);
    } finally {
      await set.stop();
    }
  });
});
