import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { v7 as uuidv7 } from 'uuid';
import { isPublicRoute } from '../../../src/platform/routing/public-routes.js';
import { routesOf } from '../../../src/platform/routing/routes.js';
import { type RawAnswer, RawConnection } from '../../support/raw-http.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { SAME, spellingsOf } from '../../support/spellings.js';

/** What anybody may see; each other route of the service must ask for a token. */
const PUBLIC =
  /^\/(health\/(live|ready)|metrics|openapi\.json|docs(\/.+)?|problems\/:slug|(desk|phone|sign-in)(\/\*)?|pages\/.+)?$/;
/** What a driver reaches by the code on a vehicle: the code in the path is what lets them in. */
const OF_LABEL = /^\/l\/:code(\/:report)?$/;
/**
 * Whoever signs in has no token yet: the code or the token in the body lets them in, and how they
 * may sign in is told to anybody.
 */
const isForAnybody = ({ method, url }: { method: string; url: string }): boolean =>
  PUBLIC.test(url) ||
  OF_LABEL.test(url) ||
  url === '/v1/sign-in-ways' ||
  (method === 'POST' && url === '/v1/sessions');

/**
 * A public path with other things after the question mark, which is not another spelling of a
 * guarded path.
 */
const HARMLESS = 'a public path before it';
const AT_ONCE = 24;
const TAKES_BODY = ['POST', 'PATCH'];

interface Route {
  method: string;
  url: string;
}

describe('every route, however its path is spelled', () => {
  let service: Service;
  let fleet: FleetHandle;
  let routes: Route[];
  let guarded: Route[];
  let vehicleId: string;
  let calendar: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet();
    ({ vehicleId } = await postScenario(fleet));
    calendar = (await fleet.manager.post('/v1/tokens', { name: 'feed', role: 'calendar' })).body.token;
    routes = routesOf(service.app.getHttpAdapter().getInstance()).map(({ method, url }) => ({ method, url }));
    guarded = routes.filter((route) => !isForAnybody(route));
  });
  afterAll(() => service.stop());

  const filled = (url: string): string =>
    url.replace(/^\/v1\/vehicles\/:id/, `/v1/vehicles/${vehicleId}`).replaceAll(/:\w+/g, () => uuidv7());

  type Send = (method: string, target: string, token?: string | null) => Promise<RawAnswer>;

  /** Runs the work for each item, several in parallel, each over a connection of its own. */
  async function forEach<T>(
    items: readonly T[],
    work: (item: T, send: Send) => Promise<void>,
  ): Promise<void> {
    const left = items.values();
    const busy = Array.from({ length: AT_ONCE }, async () => {
      const connection = new RawConnection(service.url);
      const send: Send = (method, target, token) =>
        connection.send(method, target, { token, ...(TAKES_BODY.includes(method) ? { body: '{}' } : {}) });
      for (const item of left) await work(item, send);
      connection.close();
    });
    await Promise.all(busy);
  }

  it('is tried here: all of the API document, and everything else that is served', () => {
    const document = JSON.parse(
      readFileSync(fileURLToPath(new URL('../../../openapi.json', import.meta.url)), 'utf8'),
    ) as { paths: Record<string, object> };
    const known = new Set(routes.map(({ method, url }) => `${method} ${url}`));
    const missing = Object.entries(document.paths).flatMap(([path, item]) =>
      Object.keys(item)
        .filter((method) => ['get', 'post', 'patch', 'put', 'delete'].includes(method))
        .map((method) => `${method.toUpperCase()} ${path.replaceAll(/\{(\w+)\}/g, ':$1')}`)
        .filter((operation) => !known.has(operation)),
    );
    expect(missing).toEqual([]);
    expect(guarded.length).toBeGreaterThan(120);
    expect(guarded.filter(({ url }) => !url.startsWith('/v1/'))).toEqual([]);
  });

  it('is public only if intended', async () => {
    const open = routes.filter(({ method, url }) => method === 'GET' && PUBLIC.test(url));
    const wrong: unknown[] = [];
    await forEach(open, async ({ method, url }, send) => {
      const { status } = await send(method, url.replace(':slug', 'not-found'));
      if (status >= 400) wrong.push([method, url, status]);
    });
    expect(wrong).toEqual([]);
    expect(open.length).toBeGreaterThan(8);
    expect(routes.filter((route) => isPublicRoute(route.method, route.url) !== isForAnybody(route))).toEqual(
      [],
    );
  });

  it('refuses requests without a token, or with an invalid, unknown, revoked or expired one', async () => {
    const { manager } = fleet;
    const revoked = await manager.post('/v1/tokens', { name: 'lost', role: 'manager' });
    await manager.delete(`/v1/tokens/${revoked.body.id}`);
    const expiring = await manager.post('/v1/tokens', {
      ...{ name: 'short', role: 'manager', expiresAt: '2026-04-02T15:00:01Z' },
    });
    service.clock.moveTo('2026-04-02T15:00:02Z');
    const tokens: Record<string, string | null> = {
      ...{ nobody: null, nonsense: 'wh_x', 'not known': `wh_${'a'.repeat(43)}` },
      ...{ revoked: revoked.body.token, expired: expiring.body.token },
    };
    const tries = guarded.flatMap(({ method, url }) => {
      const path = filled(url);
      return Object.entries({ plain: path, ...spellingsOf(path) })
        .filter(([spelling]) => spelling !== HARMLESS)
        .flatMap(([spelling, target]) =>
          Object.entries(tokens)
            // Fastify derives each HEAD route from a GET route.
            .filter(([who]) => method !== 'HEAD' || who === 'nobody')
            .map(([who, token]) => ({ method, url, spelling, target, who, token })),
        );
    });
    const open: unknown[] = [];
    await forEach(tries, async ({ method, url, spelling, target, who, token }, send) => {
      const { status } = await send(method, target, token);
      const allowed = spelling === 'plain' || SAME.includes(spelling) ? [401] : [400, 401, 404];
      if (!allowed.includes(status)) open.push([method, url, spelling, who, status]);
    });
    expect(open.slice(0, 50)).toEqual([]);
    expect(tries.length).toBeGreaterThan(10_000);
  }, 600_000);

  it('refuses roles without the right, and does nothing for them', async () => {
    const tokens = { mechanic: fleet.mechanic.token, dashboard: fleet.dashboard.token, calendar };
    const before = await fleet.manager.get('/v1/audit?limit=1');
    const tries = guarded.flatMap(({ method, url }) => {
      if (method === 'HEAD') return [];
      const path = filled(url);
      return Object.entries(tokens).map(([role, token]) => ({ method, url, path, role, token }));
    });
    const wrong: unknown[] = [];
    await forEach(tries, async ({ method, url, path, role, token }, send) => {
      const plain = await send(method, path, token);
      if (plain.status !== 403) return;
      for (const [spelling, target] of Object.entries(spellingsOf(path))) {
        if (spelling === HARMLESS) continue;
        const { status } = await send(method, target, token);
        const allowed = SAME.includes(spelling) ? [403] : [400, 403, 404, 405];
        if (!allowed.includes(status)) wrong.push([method, url, spelling, role, status]);
      }
    });
    expect(wrong.slice(0, 50)).toEqual([]);
    expect((await fleet.manager.get('/v1/audit?limit=1')).body).toEqual(before.body);
  }, 600_000);

  it('answers an allowed token like the plain path, or with 404', async () => {
    const read = guarded.filter(({ method }) => method === 'GET' || method === 'HEAD');
    const differing: unknown[] = [];
    /** Returns a body without the parts that differ between responses to the same request. */
    const content = ({ body }: RawAnswer): string =>
      body.replaceAll(/"(requestId|instance)":"[^"]*"/g, '').replaceAll(/^DTSTAMP:.*$/gm, '');
    await forEach(read, async ({ method, url }, send) => {
      const path = filled(url);
      const { token } = fleet.manager;
      const plain = await send(method, path, token);
      for (const [spelling, target] of Object.entries(spellingsOf(path))) {
        const answer = await send(method, target, token);
        const isSame = answer.status === plain.status && content(answer) === content(plain);
        if (SAME.includes(spelling) ? !isSame : ![400, 404, 405, 200].includes(answer.status))
          differing.push([method, url, spelling, plain.status, answer.status]);
        else if (answer.status === 200 && !SAME.includes(spelling) && spelling !== HARMLESS)
          differing.push([method, url, spelling, 'is let in', answer.status]);
      }
    });
    expect(differing.slice(0, 50)).toEqual([]);
  }, 600_000);
});
