import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';

describe('the last manager token without an expiry', () => {
  let service: Service;
  let fleet: FleetHandle;
  let own: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    service.clock.moveTo('2026-04-02T15:00:00Z');
    fleet = await service.newFleet();
    own = (await managers())[0].id;
  });
  afterAll(() => service.stop());

  const managers = async (client: Client = fleet.manager): Promise<any[]> =>
    (await client.get('/v1/tokens?limit=200')).body.items.filter((token: any) => token.role === 'manager');
  const issue = async (name: string, expiresAt?: string): Promise<any> =>
    (await fleet.manager.post('/v1/tokens', { name, role: 'manager', expiresAt })).body;

  it('cannot be revoked while the other ones expire, or nobody could manage the fleet any more', async () => {
    const relief = await issue('relief', '2026-04-02T16:00:00Z');
    await issue('season', '2026-10-01T00:00:00Z');
    for (const client of [fleet.manager, service.client(relief.token)]) {
      const refused = await client.delete(`/v1/tokens/${own}`);
      expect([refused.status, refused.body.type]).toEqual([409, '/problems/last-manager-token']);
      expect(refused.body.detail).toMatch(
        /"season", expires at 2026-10-01T00:00:00.000Z\. Issue a manager token without expiresAt first/,
      );
    }
    service.clock.moveTo('2026-10-02T00:00:00Z');
    expect((await managers()).map(({ name }) => name)).toContain('manager');
  });

  it('can be revoked once there is another; a token that expires can go at any time', async () => {
    const relief = await issue('relief', '2026-04-02T16:00:00Z');
    const over = await issue('over', '2026-04-02T15:30:00Z');
    service.clock.moveTo('2026-04-02T15:45:00Z');
    for (const { id } of [relief, over])
      expect((await fleet.manager.delete(`/v1/tokens/${id}`)).status).toBe(204);
    const next = await issue('next');
    const client = service.client(next.token);
    expect((await client.delete(`/v1/tokens/${own}`)).status).toBe(204);
    expect((await client.delete(`/v1/tokens/${next.id}`)).status).toBe(409);
    expect((await managers(client)).map(({ name }) => name)).toEqual(['next']);
  });

  it('remains when two managers revoke each other’s at once, beside a third that expires', async () => {
    await issue('relief', '2026-04-02T16:00:00Z');
    const second = await issue('second');
    const statuses = await atOnce([
      () => fleet.manager.delete(`/v1/tokens/${second.id}`),
      () => service.client(second.token).delete(`/v1/tokens/${own}`),
    ]);
    expect(statuses).toEqual([204, 409]);
    const { rows } = await service.database.admin.query(
      `select id from access_tokens where fleet_id = $1 and role = 'manager' and revoked_at is null and expires_at is null`,
      [fleet.fleetId],
    );
    expect(rows).toHaveLength(1);
  });

  it('is revoked once when it is revoked twice at once, and appears so in the audit', async () => {
    const second = await issue('second');
    const revoke = () => fleet.manager.delete(`/v1/tokens/${second.id}`);
    expect(await atOnce([revoke, revoke])).toEqual([204, 404]);
    const { body } = await fleet.manager.get(`/v1/audit?id=${second.id}`);
    expect(body.items.map((item: any) => item.action)).toEqual(
      expect.arrayContaining(['revoked', 'created']),
    );
    expect(body.items).toHaveLength(2);
  });

  it('can be revoked in a fleet where all manager tokens expire only after another was issued', async () => {
    const relief = await issue('relief', '2026-04-03T00:00:00Z');
    const season = await issue('season', '2026-10-01T00:00:00Z');
    // As an earlier version allowed.
    await service.database.admin.query('update access_tokens set revoked_at = now() where id = $1', [own]);
    const client = service.client(season.token);
    for (const { id } of [relief, season])
      expect((await client.delete(`/v1/tokens/${id}`)).body.type).toBe('/problems/last-manager-token');
    await client.post('/v1/tokens', { name: 'lasting', role: 'manager' });
    for (const { id } of [relief, season]) expect((await client.delete(`/v1/tokens/${id}`)).status).toBe(204);
  });

  /**
   * Holds requests up at the fleet's tokens until all of them wait there, so that they do overlap.
   * @returns their statuses, sorted
   */
  async function atOnce(requests: (() => Promise<{ status: number }>)[]): Promise<number[]> {
    const { admin } = service.database;
    await admin.query('begin');
    await admin.query('select from access_tokens where fleet_id = $1 for update', [fleet.fleetId]);
    const answers = Promise.all(requests.map((request) => request()));
    for (let waiting = 0; waiting < requests.length;) {
      await admin.query('select pg_stat_clear_snapshot()');
      const { rows } = await admin.query(
        `select count(*)::int as waiting from pg_stat_activity where datname = current_database() and wait_event_type = 'Lock'`,
      );
      waiting = rows[0].waiting;
    }
    await admin.query('commit');
    return (await answers).map(({ status }) => status).sort((a, b) => a - b);
  }
});
