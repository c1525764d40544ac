import { Logger } from '@nestjs/common';
import { buildApi } from '../../../src/bootstrap.api.js';
import { issueToken } from '../../../src/platform/access/token.js';
import { TokenHolders } from '../../../src/platform/access/token-holders.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { addressKey } from '../../../src/platform/limits/address-limits.js';
import { Allowance } from '../../../src/platform/limits/allowance.js';
import {
  type Client,
  clientOf,
  type FleetHandle,
  type Service,
  startService,
} from '../../support/service.js';

const LIMIT = 60;

describe('the limit of requests', () => {
  let service: Service;
  let fleet: FleetHandle;
  let other: Awaited<ReturnType<typeof buildApi>>;
  let otherUrl: string;

  beforeAll(async () => {
    service = await startService({
      env: { REQUESTS_PER_MINUTE: String(LIMIT), REFUSALS_PER_MINUTE: '5', TRUST_PROXY: '1' },
    });
    // A second process of the same service, as far as anything outside can tell: it shares the
    // store alone.
    other = await buildApi(service.config, { withWorker: false, clock: service.clock });
    await other.listen(0, '127.0.0.1');
    otherUrl = await other.getUrl();
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
  });
  afterAll(async () => {
    await other.close();
    await service.stop();
  });

  const from = (address: string) => ({ 'x-forwarded-for': address });

  it('comes with each answer, and ends in a 429 that says when to continue', async () => {
    const first = await fleet.dashboard.get('/v1/fleet');
    expect(first.status).toBe(200);
    expect(first.headers.get('ratelimit-policy')).toBe('"token";q=60;w=60');
    expect(first.headers.get('ratelimit')).toMatch(/^"token";r=59;t=(60|59)$/);
    for (let spent = 1; spent < LIMIT; spent++) await fleet.dashboard.get('/v1/fleet');
    const refused = await fleet.dashboard.get('/v1/fleet');
    expect(refused.status).toBe(429);
    expect(refused.body).toMatchObject({ type: '/problems/too-many-requests', status: 429 });
    const wait = Number(refused.headers.get('retry-after'));
    expect(wait).toBeGreaterThan(0);
    expect(wait).toBeLessThanOrEqual(60);
    expect(refused.headers.get('ratelimit')).toBe(`"token";r=0;t=${wait}`);
    // Each token has its own.
    expect((await fleet.mechanic.get('/v1/fleet')).status).toBe(200);
  });

  it('applies to all processes together, and to simultaneous requests', async () => {
    async function atOnce({ mechanic }: FleetHandle): Promise<number[]> {
      const clients = [mechanic, clientOf(otherUrl, mechanic.token)] as [Client, Client];
      const answers = await Promise.all(
        Array.from({ length: 3 * LIMIT }, (_, index) => clients[index % 2]!.get('/v1/fleet')),
      );
      return [200, 429].map((expected) => answers.filter(({ status }) => status === expected).length);
    }
    // On a machine that is busy beyond measure the counter answers too late, and requests are let
    // through: that is meant. A minute that ends
    // in between gives another share.
    let counted = await atOnce(fleet);
    for (let attempt = 1; attempt < 3 && counted[0] !== LIMIT; attempt++)
      counted = await atOnce(await service.newFleet());
    expect(counted).toEqual([LIMIT, 2 * LIMIT]);
  });

  it('costs no statement for most requests, and none once it is reached', async () => {
    const statements: string[] = [];
    const listen = (text: string) => void statements.push(text);
    statementListeners.add(listen);
    try {
      for (let spent = 0; spent < LIMIT; spent++) await fleet.manager.get('/v1/fleet');
      const counting = statements.filter((text) => text.includes('request_counts'));
      expect(counting.length).toBeLessThanOrEqual(LIMIT / 3);
      statements.length = 0;
      expect((await fleet.manager.get('/v1/fleet')).status).toBe(429);
      expect(statements).toEqual([]);
    } finally {
      statementListeners.delete(listen);
    }
  });

  it('for requests without a valid token counts by address, and asks the database no more once reached', async () => {
    const stranger = service.client(`wh_${'x'.repeat(43)}`);
    const home = from('203.0.113.7');
    const refusals: number[] = [];
    for (let tries = 0; tries < 5; tries++) refusals.push((await stranger.get('/v1/fleet', home)).status);
    expect(refusals).toEqual([401, 401, 401, 401, 401]);
    const lookedUp = jest.spyOn(TokenHolders.prototype, 'find');
    const statements: string[] = [];
    const listen = (text: string) => void statements.push(text);
    statementListeners.add(listen);
    try {
      for (const client of [stranger, service.client(null), service.client('nonsense')]) {
        const refused = await client.get('/v1/fleet', home);
        expect(refused.status).toBe(429);
        expect(refused.body.type).toBe('/problems/too-many-refusals');
        expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0);
      }
      expect(statements).toEqual([]);
      expect(lookedUp).not.toHaveBeenCalled();
    } finally {
      lookedUp.mockRestore();
      statementListeners.delete(listen);
    }
    // Elsewhere, nobody is held up by it; and no path that asks for no token.
    expect((await stranger.get('/v1/fleet', from('203.0.113.8'))).status).toBe(401);
    expect((await stranger.get('/health/live', home)).status).toBe(200);
  });

  it('allows a valid token that no process has seen, whatever others at its address sent', async () => {
    const shop = from('203.0.113.9');
    const bad = [null, 'nonsense', ...Array.from({ length: 6 }, () => issueToken().token)];
    for (let tries = 0; tries < 3; tries++)
      for (const token of bad) await service.client(token).get('/v1/fleet', shop);
    expect((await service.client(null).get('/v1/fleet', shop)).status).toBe(429);
    expect((await fleet.dashboard.get('/v1/fleet', shop)).status).toBe(200);
    // On another process, and on one that was just started.
    expect((await clientOf(otherUrl, fleet.mechanic.token).get('/v1/fleet', shop)).status).toBe(200);
    const restarted = await buildApi(service.config, { withWorker: false, clock: service.clock });
    try {
      await restarted.listen(0, '127.0.0.1');
      const url = await restarted.getUrl();
      for (const { token } of [fleet.manager, fleet.dashboard]) {
        await clientOf(url, null).get('/v1/fleet', shop);
        expect((await clientOf(url, token).get('/v1/fleet', shop)).status).toBe(200);
      }
    } finally {
      await restarted.close();
    }
    // A token that was known to be bad becomes good nowhere.
    expect((await service.client(bad.at(-1) ?? '').get('/v1/fleet', shop)).status).toBe(429);
  });

  it('allows in a header the token that may not be in an address', async () => {
    const shop = from('203.0.113.11');
    const { token } = fleet.manager;
    const feed = `/v1/due-list.ics?token=${token}`;
    const statuses: number[] = [];
    for (let tries = 0; tries < 7; tries++)
      statuses.push((await service.client(null).get(feed, shop)).status);
    expect(statuses).toEqual([403, 403, 403, 403, 403, 429, 429]);
    expect((await fleet.manager.get('/v1/fleet', shop)).status).toBe(200);
  });

  it('ignores an address that the client itself puts before the proxy’s', async () => {
    const stranger = service.client(`wh_${'z'.repeat(43)}`);
    const statuses: number[] = [];
    for (let tries = 0; tries < 7; tries++)
      statuses.push((await stranger.get('/v1/fleet', from(`198.51.100.${tries}, 203.0.113.10`))).status);
    expect(statuses).toEqual([401, 401, 401, 401, 401, 429, 429]);
  });
});

describe('the limit of requests of a fleet', () => {
  const FLEET_LIMIT = 40;
  let service: Service;
  let fleet: FleetHandle;
  let other: Awaited<ReturnType<typeof buildApi>>;
  let otherUrl: string;

  beforeAll(async () => {
    service = await startService({
      env: { REQUESTS_PER_MINUTE: '1000', FLEET_REQUESTS_PER_MINUTE: String(FLEET_LIMIT) },
    });
    other = await buildApi(service.config, { withWorker: false, clock: service.clock });
    await other.listen(0, '127.0.0.1');
    otherUrl = await other.getUrl();
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
    // The minute of the clock is to hold all that a test asks.
    const left = 60_000 - (Date.now() % 60_000);
    if (left < 15_000) await new Promise((resolve) => setTimeout(resolve, left));
  }, 240_000);
  afterAll(async () => {
    await other.close();
    await service.stop();
  });

  const statusesOf = async (clients: Client[], count: number): Promise<number[]> => {
    const statuses: number[] = [];
    for (let asked = 0; asked < count; asked++)
      statuses.push((await (clients[asked % clients.length] as Client).get('/v1/fleet')).status);
    return statuses;
  };

  it('counts all its tokens, and leaves another fleet its own', async () => {
    const { manager, mechanic, dashboard } = fleet;
    const statuses = await statusesOf([manager, mechanic, dashboard], FLEET_LIMIT + 3);
    expect(statuses).toEqual([...Array(FLEET_LIMIT).fill(200), 429, 429, 429]);
    const refused = await manager.get('/v1/fleet');
    expect(refused.body).toMatchObject({
      type: '/problems/too-many-fleet-requests',
      detail: expect.stringContaining(`This fleet has made ${FLEET_LIMIT} requests in this minute`),
    });
    const wait = Number(refused.headers.get('retry-after'));
    expect(wait).toBeGreaterThan(0);
    expect(wait).toBeLessThanOrEqual(60);
    expect(refused.headers.get('ratelimit-policy')).toBe(`"fleet";q=${FLEET_LIMIT};w=60`);
    expect(refused.headers.get('ratelimit')).toBe(`"fleet";r=0;t=${wait}`);
    const modest = await service.newFleet();
    expect(await statusesOf([modest.dashboard], 10)).toEqual(Array(10).fill(200));
  });

  it('asks the database nothing for a token that was refused before', async () => {
    await statusesOf([fleet.manager], FLEET_LIMIT + 1);
    const statements: string[] = [];
    const listen = (text: string) => void statements.push(text);
    statementListeners.add(listen);
    try {
      expect(await statusesOf([fleet.manager], 3)).toEqual([429, 429, 429]);
      expect(statements).toEqual([]);
    } finally {
      statementListeners.delete(listen);
    }
  });

  it('applies to all processes together, give or take a few eighths', async () => {
    expect(await statusesOf([fleet.manager], FLEET_LIMIT)).toEqual(Array(FLEET_LIMIT).fill(200));
    const there = await statusesOf([clientOf(otherUrl, fleet.mechanic.token)], FLEET_LIMIT);
    const letThrough = there.filter((status) => status === 200).length;
    // It asks the others after an eighth, and lets through what comes until they have answered.
    expect(letThrough).toBeLessThanOrEqual(FLEET_LIMIT / 4);
  });
});

describe('the limit of different invalid tokens', () => {
  const CAP = 20;
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    const env = { REFUSALS_PER_MINUTE: '5', UNKNOWN_TOKENS_PER_MINUTE: String(CAP), TRUST_PROXY: '1' };
    service = await startService({ env });
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const ask = async (token: string, address: string) =>
    service.client(token).get('/v1/fleet', { 'x-forwarded-for': address });

  it('ends look-ups of new ones from an address, and delays no known token there', async () => {
    expect((await ask(fleet.dashboard.token, '203.0.113.20')).status).toBe(200);
    const statuses: number[] = [];
    for (let tries = 0; tries < CAP; tries++)
      statuses.push((await ask(issueToken().token, '203.0.113.20')).status);
    expect(new Set(statuses)).toEqual(new Set([401]));
    const lookedUp = jest.spyOn(TokenHolders.prototype, 'find');
    try {
      const refused = await ask(issueToken().token, '203.0.113.20');
      expect([refused.status, refused.body.type]).toEqual([429, '/problems/too-many-refusals']);
      expect(refused.body.detail).toContain(`${CAP} different tokens`);
      expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0);
      expect(lookedUp).not.toHaveBeenCalled();
    } finally {
      lookedUp.mockRestore();
    }
    expect((await ask(fleet.dashboard.token, '203.0.113.20')).status).toBe(200);
    expect((await ask(fleet.mechanic.token, '203.0.113.21')).status).toBe(200);
  });

  it('counts a repeated token once', async () => {
    const patient = await startService({ env: { UNKNOWN_TOKENS_PER_MINUTE: String(CAP) } });
    try {
      const bad = patient.client(issueToken().token);
      for (let tries = 0; tries < 2 * CAP; tries++) expect((await bad.get('/v1/fleet')).status).toBe(401);
      const { manager } = await patient.newFleet();
      expect((await manager.get('/v1/fleet')).status).toBe(200);
    } finally {
      await patient.stop();
    }
  });
});

describe('a header that a proxy adds', () => {
  it.each([
    ['false', 1],
    ['1', 0],
  ])('causes one warning if TRUST_PROXY is %s', async (TRUST_PROXY, times) => {
    const warn = jest.spyOn(Logger.prototype, 'warn');
    const service = await startService({ env: { TRUST_PROXY } });
    try {
      const told = () => warn.mock.calls.filter(([what]) => String(what).includes('TRUST_PROXY'));
      await service.client(null).get('/health/live');
      expect(told()).toHaveLength(0);
      for (const name of ['x-forwarded-for', 'forwarded', 'x-forwarded-for'])
        await service.client(null).get('/health/live', { [name]: '203.0.113.1' });
      expect(told()).toHaveLength(times);
    } finally {
      warn.mockRestore();
      await service.stop();
    }
  });
});

describe('a request allowance without its store', () => {
  it('allows the whole limit by itself, then refuses until the minute is over', async () => {
    let now = 0;
    let asked = 0;
    const store = {
      count: () => (asked++, Promise.reject(new Error('ECONNREFUSED'))),
      close: () => undefined,
    };
    const allowance = new Allowance(store, 3, 'test', () => now);
    const take = async () => (await allowance.take('k')).allowed;
    expect([await take(), await take(), await take(), await take()]).toEqual([true, true, true, false]);
    expect(asked).toBe(1);
    now = 60_000;
    expect(await take()).toBe(true);
    expect(asked).toBe(2);
  });
});

describe('the key of an address', () => {
  it.each([
    ['192.0.2.1', '192.0.2.1'],
    ['::ffff:192.0.2.1', '192.0.2.1'],
    ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2::/64'],
    ['2001:db8:1:2:ffff::1', '2001:db8:1:2::/64'],
  ])('of %s is %s', (address, key) => {
    expect(addressKey(address)).toBe(key);
  });
});
