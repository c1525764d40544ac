import { Reflector } from '@nestjs/core';
import { RoleGuard } from '../../../src/platform/access/access.js';
import { rawRequest } from '../../support/raw-http.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const FLEET = ['/v1/fleet', '/%761/fleet', 'http://x/v1/fleet', '/v1/%66leet', 'https://x/%76%31/fleet'];

describe('a path that is spelled differently', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet();
    await postScenario(fleet);
  });
  afterAll(() => service.stop());

  const send = (method: string, target: string, token: string | null, headers = {}, body?: string) =>
    rawRequest(service.url, method, target, { token, headers, ...(body === undefined ? {} : { body }) });

  it('counts together with the plain one, with a token and without', async () => {
    const strict = await startService({ env: { REQUESTS_PER_MINUTE: '4', REFUSALS_PER_MINUTE: '4' } });
    try {
      const { dashboard } = await strict.newFleet();
      for (const [token, status] of [
        [dashboard.token, 200],
        [null, 401],
      ] as const) {
        const statuses: number[] = [];
        for (const target of FLEET)
          statuses.push((await rawRequest(strict.url, 'GET', target, { token })).status);
        expect(statuses).toEqual([status, status, status, status, 429]);
      }
    } finally {
      await strict.stop();
    }
  });

  it('is the same operation for an idempotency key', async () => {
    const headers = { 'idempotency-key': 'north-1' };
    const ids = new Set<string>();
    for (const target of ['/v1/depots', '/%761/depots', 'http://x/v1/%64epots']) {
      const { status, body } = await send(
        ...['POST', target, fleet.manager.token, headers, '{"name":"North"}'],
      );
      expect([target, status]).toEqual([target, 201]);
      ids.add(JSON.parse(body).id);
    }
    expect(ids.size).toBe(1);
  });

  it('links to the next page at the plain path, with all parameters', async () => {
    await fleet.manager.post('/v1/depots', { name: 'Ridge East' });
    for (const target of ['/%761/depots?limit=1', 'http://elsewhere.example/v1/depots?limit=1']) {
      const { status, headers } = await send('GET', target, fleet.manager.token);
      expect([target, status]).toEqual([target, 200]);
      expect(headers.link).toMatch(/^<\/v1\/depots\?limit=1&cursor=[\w-]+>; rel="next"$/);
    }
    for (const unitNumber of ['Q?1', 'Q?2'])
      expect((await fleet.manager.post('/v1/vehicles', { unitNumber })).status).toBe(201);
    const { headers } = await send('GET', '/v1/vehicles?limit=1&q=Q?', fleet.manager.token);
    expect(headers.link).toContain('q=Q%3F');
  });

  it('is named in a problem without the host, login or token in it', async () => {
    const { body } = await send('GET', 'http://me:secret@x/v1/nothing?token=wh_1', fleet.manager.token);
    expect(JSON.parse(body)).toMatchObject({ status: 404, instance: '/v1/nothing' });
    const mine = fleet.manager.token;
    for (const target of [`http://x/v1/due-list.ics?token=${mine}`, `/%761/due-list.ics#token=${mine}`]) {
      const refused = await send('GET', target, null);
      expect(JSON.parse(refused.body)).toMatchObject({
        ...{ status: 403, type: '/problems/wrong-role', instance: expect.stringMatching(/due-list\.ics$/) },
      });
      expect(refused.body).not.toContain(mine);
      expect(refused.headers['referrer-policy']).toBe('no-referrer');
    }
  });

  it('accepts a calendar token where the plain one does', async () => {
    const { body } = await fleet.manager.post('/v1/tokens', { name: 'feed', role: 'calendar' });
    for (const target of ['/v1/due-list.ics', '/%761/due-list.ics', 'http://x/v1/due-list%2Eics']) {
      const { status, headers } = await send('GET', `${target}?token=${body.token}`, null);
      expect([target, status]).toEqual([target, 200]);
      expect(headers['content-type']).toMatch(/^text\/calendar/);
    }
  });

  it('is refused by any method if the router does not know it, without a 5xx', async () => {
    const methods = ['OPTIONS', 'PUT', 'TRACE', 'PROPFIND', 'SEARCH', 'QUERY', 'LOCK', 'PURGE'];
    const odd: unknown[] = [];
    for (const method of methods) {
      for (const target of [...FLEET, '*', '/', '/nothing', '/v1', '/v1/', '/%zz', '/v1/%zz']) {
        const { status } = await send(method, target, null);
        if (status < 400 || status >= 500) odd.push([method, target, status]);
      }
    }
    expect(odd).toEqual([]);
    // With a token the plain path says which methods it takes.
    expect((await send('PUT', '/v1/fleet', fleet.manager.token)).headers.allow).toBe('GET, PATCH');
  });
});

describe('the guard of roles', () => {
  it('refuses a request without a fleet, on every route', () => {
    const request = { routeOptions: { url: '/v1/fleet' }, url: '/health/live' };
    const context = {
      ...{ switchToHttp: () => ({ getRequest: () => request }) },
      ...{ getHandler: () => () => undefined, getClass: () => Object },
    };
    const guard = new RoleGuard(new Reflector());
    expect(() => guard.canActivate(context as never)).toThrow(expect.objectContaining({ status: 401 }));
    request.routeOptions.url = '/health/live';
    expect(guard.canActivate(context as never)).toBe(true);
  });
});
