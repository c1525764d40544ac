import { rawRequest } from '../../support/raw-http.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

describe('tokens', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const issue = (body: object, headers?: Record<string, string>) =>
    fleet.manager.post('/v1/tokens', { name: 'Bay 2 tablet', role: 'mechanic', ...body }, headers);

  it('work at once, and are shown only once', async () => {
    const issued = await issue({});
    expect(issued.status).toBe(201);
    expect(issued.body).toEqual({
      id: expect.any(String),
      name: 'Bay 2 tablet',
      role: 'mechanic',
      createdAt: '2026-04-02T15:00:00.000Z',
      expiresAt: null,
      depotIds: null,
      telematicsSourceId: null,
      personId: null,
      language: null,
      lastUsedAt: null,
      token: expect.stringMatching(/^wh_[A-Za-z0-9_-]{43}$/),
    });
    expect(issued.headers.get('cache-control')).toBe('no-store');
    const tablet = service.client(issued.body.token);
    expect((await tablet.get('/v1/fleet')).body.id).toBe(fleet.fleetId);
    expect((await tablet.post('/v1/depots', { name: 'No' })).status).toBe(403);

    const list = await fleet.manager.get('/v1/tokens');
    expect(list.body.items.map((token: any) => token.name)).toEqual([
      'Bay 2 tablet',
      'dashboard',
      'manager',
      'mechanic',
    ]);
    for (const shown of list.body.items)
      expect(Object.keys(shown).sort()).toEqual([
        ...['createdAt', 'depotIds', 'expiresAt', 'id', 'language', 'lastUsedAt', 'name', 'personId', 'role'],
        'telematicsSourceId',
      ]);
    expect(JSON.stringify(list.body)).not.toContain(issued.body.token.slice(3));
  });

  it('let nobody in with two Authorization headers, even if one of them is good', async () => {
    const other = await service.newFleet();
    const mine = `Bearer ${fleet.manager.token}`;
    for (const [first, second] of [
      [mine, `Bearer ${other.manager.token}`],
      [mine, mine],
      [mine, 'Basic eDp5'],
      ['Bearer wh_x', mine],
    ] as const) {
      const { status, body } = await rawRequest(service.url, 'GET', '/v1/fleet', {
        headers: { Authorization: first, authorization: second },
      });
      expect([status, JSON.parse(body).errors]).toEqual([
        ...[
          400,
          [
            {
              header: 'Authorization',
              code: 'authorization-repeated',
              values: {},
              detail: expect.stringMatching(/came more than once/),
            },
          ],
        ],
      ]);
    }
    // It is not held against the token.
    expect((await fleet.manager.get('/v1/fleet')).status).toBe(200);
  });

  it('are stored only as a hash, even for a repeated Idempotency-Key', async () => {
    const headers = { 'idempotency-key': 'tablet-1' };
    const first = await issue({}, headers);
    const again = await issue({}, headers);
    expect(again.status).toBe(201);
    expect(again.body).toEqual({ ...first.body, token: null });
    const { rows } = await service.database.admin.query(
      `select (select json_agg(t) from access_tokens t where fleet_id = $1)::text
           || (select json_agg(i) from idempotency_records i where fleet_id = $1)::text as kept`,
      [fleet.fleetId],
    );
    expect(rows[0].kept).toContain('Bay 2 tablet');
    expect(rows[0].kept).not.toContain(first.body.token.slice(3));
    expect((await service.client(first.body.token).get('/v1/fleet')).status).toBe(200);
  });

  it('stop working with the next request after they are revoked', async () => {
    const { body } = await issue({});
    const tablet = service.client(body.token);
    expect((await tablet.get('/v1/fleet')).status).toBe(200);
    expect((await fleet.manager.delete(`/v1/tokens/${body.id}`)).status).toBe(204);
    const refused = await tablet.get('/v1/fleet');
    expect(refused.status).toBe(401);
    expect(refused.headers.get('www-authenticate')).toBe('Bearer');
    const list = await fleet.manager.get('/v1/tokens');
    expect(list.body.items.map((token: any) => token.id)).not.toContain(body.id);
    expect((await fleet.manager.delete(`/v1/tokens/${body.id}`)).status).toBe(404);
  });

  it('expire when they should', async () => {
    const { body } = await issue({ expiresAt: '2026-04-02T10:00:00-06:00' });
    expect(body.expiresAt).toBe('2026-04-02T16:00:00.000Z');
    const tablet = service.client(body.token);
    expect((await tablet.get('/v1/fleet')).status).toBe(200);
    service.clock.moveTo('2026-04-02T16:00:00Z');
    expect((await tablet.get('/v1/fleet')).status).toBe(401);
    service.clock.moveTo('2026-04-02T15:00:00Z');
  });

  it('show when they were last used, stored once a minute at most', async () => {
    const { body } = await issue({});
    const tablet = service.client(body.token);
    const lastUsed = async (): Promise<string | null> =>
      (await fleet.manager.get('/v1/tokens')).body.items.find((token: any) => token.id === body.id)
        .lastUsedAt;
    const versions = async (): Promise<string> =>
      (await service.database.admin.query('select xmin from access_tokens where id = $1', [body.id])).rows[0]
        .xmin;
    expect(await lastUsed()).toBeNull();
    await Promise.all(Array.from({ length: 20 }, () => tablet.get('/v1/fleet')));
    expect(await lastUsed()).toBe('2026-04-02T15:00:00.000Z');
    const written = await versions();
    service.clock.moveTo('2026-04-02T15:00:59Z');
    expect((await tablet.get('/v1/fleet')).status).toBe(200);
    expect([await lastUsed(), await versions()]).toEqual(['2026-04-02T15:00:00.000Z', written]);
    service.clock.moveTo('2026-04-02T15:01:00Z');
    // Refused for its role: the token was used all the same.
    expect((await tablet.get('/v1/tokens')).status).toBe(403);
    expect(await lastUsed()).toBe('2026-04-02T15:01:00.000Z');
    expect(await versions()).not.toBe(written);
    service.clock.moveTo('2026-04-02T15:00:00Z');
  });

  it('work without waiting while being revoked elsewhere, and not once they are', async () => {
    const { body } = await issue({});
    const tablet = service.client(body.token);
    const { admin } = service.database;
    await admin.query('begin');
    await admin.query('update access_tokens set revoked_at = now() where id = $1', [body.id]);
    expect((await tablet.get('/v1/fleet')).status).toBe(200);
    await admin.query('commit');
    expect((await tablet.get('/v1/fleet')).status).toBe(401);
  });

  it('are revoked at once for other processes, too', async () => {
    const { buildApi } = await import('../../../src/bootstrap.api.js');
    const { clientOf } = await import('../../support/service.js');
    const other = await buildApi(service.config, { withWorker: false, clock: service.clock });
    try {
      await other.listen(0, '127.0.0.1');
      const { body } = await issue({});
      const there = clientOf(await other.getUrl(), body.token);
      expect((await there.get('/v1/fleet')).status).toBe(200);
      await fleet.manager.delete(`/v1/tokens/${body.id}`);
      expect((await there.get('/v1/fleet')).status).toBe(401);
    } finally {
      await other.close();
    }
  });

  it('are refused if they could never be used, for an unknown role, or for a time without an offset', async () => {
    for (const [body, pointer, because] of [
      [{ expiresAt: '2026-04-02T14:59:00Z' }, '/expiresAt', 'which is past'],
      [{ expiresAt: '2026-05-02T14:59:00' }, '/expiresAt', 'lacks the offset'],
      [{ role: 'admin' }, '/role', 'manager, mechanic, driver, dashboard, calendar and telematics'],
      [{ name: '' }, '/name', 'blank'],
      [{ hash: 'aa' }, '/hash', 'not a field'],
    ] as const) {
      const refused = await issue(body);
      expect(refused.status).toBe(422);
      expect(inText(refused.body.errors)).toEqual([{ pointer, detail: expect.stringContaining(because) }]);
    }
  });

  it('are for managers, within one fleet', async () => {
    const { body } = await issue({});
    for (const client of [fleet.mechanic, fleet.dashboard]) {
      expect((await client.get('/v1/tokens')).status).toBe(403);
      expect((await client.post('/v1/tokens', { name: 'x', role: 'manager' })).status).toBe(403);
      expect((await client.delete(`/v1/tokens/${body.id}`)).status).toBe(403);
    }
    const other = await service.newFleet();
    expect((await other.manager.delete(`/v1/tokens/${body.id}`)).status).toBe(404);
    expect((await other.manager.get('/v1/tokens')).body.items).toHaveLength(3);
    expect((await service.client(body.token).get('/v1/fleet')).status).toBe(200);
    expect((await fleet.manager.delete('/v1/tokens/not-an-id')).status).toBe(404);
  });

  it('for calendars give access only to the feed', async () => {
    const { body } = await issue({ name: 'Office calendar', role: 'calendar' });
    const calendar = service.client(body.token);
    const paths = ['/v1/fleet', '/v1/depots', '/v1/spec-sheets', '/v1/interval-plans', '/v1/tokens'];
    for (const path of paths) expect((await calendar.get(path)).status).toBe(403);
    expect((await calendar.post('/v1/depots', { name: 'No' })).status).toBe(403);
    expect((await calendar.patch('/v1/fleet', { name: 'No' })).status).toBe(403);
  });

  it('always leave one manager token, even when two managers revoke each other’s at once', async () => {
    const [own] = (await fleet.manager.get('/v1/tokens')).body.items.filter(
      (token: any) => token.role === 'manager',
    );
    const refused = await fleet.manager.delete(`/v1/tokens/${own.id}`);
    expect(refused.status).toBe(409);
    expect(refused.body.type).toBe('/problems/last-manager-token');

    const { body: second } = await issue({ name: 'second', role: 'manager' });
    const other = service.client(second.token);
    // Both are held up at the tokens, so that they do overlap.
    const { admin } = service.database;
    await admin.query('begin');
    await admin.query('select from access_tokens where fleet_id = $1 for update', [fleet.fleetId]);
    const both = Promise.all([
      fleet.manager.delete(`/v1/tokens/${second.id}`),
      other.delete(`/v1/tokens/${own.id}`),
    ]);
    for (let waiting = 0; waiting < 2;) {
      await admin.query('select pg_stat_clear_snapshot()');
      const { rows } = await admin.query(
        `select count(*)::int as waiting from pg_stat_activity where datname = current_database() and wait_event_type = 'Lock'`,
      );
      waiting = rows[0].waiting;
    }
    await admin.query('commit');
    const answers = await both;
    expect(answers.map(({ status }) => status).sort((a, b) => a - b)).toEqual([204, 409]);
    const left = await Promise.all([fleet.manager.get('/v1/tokens'), other.get('/v1/tokens')]);
    expect(left.map(({ status }) => status).sort((a, b) => a - b)).toEqual([200, 401]);
  });
});
