import { createHash, randomBytes } from 'node:crypto';
import type { JWTPayload } from 'jose';
import { v7 as uuidv7 } from 'uuid';
import { pageAt } from '../../support/browser-client.js';
import { type Issuer, startIssuer } from '../../support/issuer.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const CLIENT = 'weephole-pages';
const SECRET = 's:ecret /+';
const PUBLIC_URL = 'https://weephole.example';
const seconds = (instant: string): number => Date.parse(instant) / 1000;

describe('signing in at an OpenID Connect provider from a page', () => {
  let issuer: Issuer;
  let service: Service;
  let fleet: FleetHandle;

  const environment = (secret: string) => ({
    ...{ OIDC_ISSUER: issuer.url, OIDC_AUDIENCE: 'weephole', PUBLIC_URL },
    ...{ OIDC_CLIENT_ID: CLIENT, OIDC_CLIENT_SECRET: secret },
  });
  beforeAll(async () => {
    issuer = await startIssuer();
    service = await startService({ at: NOW, env: environment(SECRET) });
  });
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    issuer.up();
    fleet = await service.newFleet();
    issuer.next = good();
  });
  afterAll(async () => {
    await service.stop();
    await issuer.close();
  });

  const good = (claims: JWTPayload = {}): JWTPayload => ({
    ...{ sub: 'ana@district.example', name: 'Ana Ferreira' },
    ...{ iat: seconds(NOW), exp: seconds(NOW) + 600 },
    ...{ weephole_fleet: fleet.fleetId, weephole_role: 'mechanic', ...claims },
  });

  /** Does what the page and the provider do until the browser is back on the page. */
  async function comeBack(of = service) {
    const { provider } = (await of.client(null).get('/v1/sign-in-ways')).body;
    const [state, nonce, verifier] = [1, 2, 3].map(() => randomBytes(32).toString('base64url')) as [
      ...[string, string, string],
    ];
    const address = new URL(provider.authorizationEndpoint);
    const asked = {
      ...{ response_type: 'code', client_id: provider.clientId, redirect_uri: provider.redirectUri },
      ...{ scope: provider.scope, state, nonce, code_challenge_method: 'S256' },
      code_challenge: createHash('sha256').update(verifier).digest('base64url'),
    };
    for (const [name, value] of Object.entries(asked)) address.searchParams.set(name, value);
    const sent = await fetch(address, { redirect: 'manual' });
    const back = new URL(String(sent.headers.get('location')));
    expect(back.origin + back.pathname).toBe(`${PUBLIC_URL}/sign-in`);
    return { code: String(back.searchParams.get('code')), verifier, nonce };
  }
  const signIn = async (claims: JWTPayload = {}) => {
    issuer.next = good(claims);
    const page = pageAt(service.url);
    return { page, answer: await page.post('/v1/sessions', { provider: await comeBack() }) };
  };

  it('adds the person at the first sign-in, and opens a session of 12 hours that is not extended', async () => {
    const { page, answer } = await signIn();
    expect(answer.status).toBe(201);
    const { items } = (await fleet.manager.get('/v1/people')).body;
    expect(items).toMatchObject([
      {
        name: 'Ana Ferreira',
        subject: 'ana@district.example',
        role: 'mechanic',
        depotIds: null,
        badge: null,
      },
    ]);
    expect(answer.body).toMatchObject({
      person: { id: items[0].id, name: 'Ana Ferreira' },
      expiresAt: '2026-04-03T03:00:00.000Z',
    });
    expect((await page.get('/v1/me')).body).toMatchObject({ role: 'mechanic', person: { id: items[0].id } });
    expect((await page.post('/v1/depots', { name: 'No' })).status).toBe(403);
    service.clock.moveTo('2026-04-03T02:59:00Z');
    expect((await page.get('/v1/me')).status).toBe(200);
    service.clock.moveTo('2026-04-03T03:00:00Z');
    expect((await page.get('/v1/me')).status).toBe(401);
    const { body } = await fleet.manager.get('/v1/audit?kind=person');
    expect(body.items[0].actor).toMatchObject({ kind: 'sign-in', id: 'ana@district.example' });
  });

  it('proves itself to the provider by its secret, or as a public client by PKCE alone', async () => {
    await signIn();
    const [id, secret] = [CLIENT, SECRET].map((text) => new URLSearchParams({ v: text }).toString().slice(2));
    expect(issuer.redeemed.at(-1)).toMatchObject({
      authorization: `Basic ${Buffer.from(`${id}:${secret}`).toString('base64')}`,
    });
    expect(issuer.redeemed.at(-1)?.form.has('client_id')).toBe(false);
    const open = await startService({ at: NOW, env: environment('') });
    try {
      const other = await open.newFleet();
      issuer.next = good({ weephole_fleet: other.fleetId });
      const answer = await pageAt(open.url).post('/v1/sessions', { provider: await comeBack(open) });
      expect(answer.status).toBe(201);
      expect(issuer.redeemed.at(-1)?.authorization).toBeUndefined();
      expect(issuer.redeemed.at(-1)?.form.get('client_id')).toBe(CLIENT);
    } finally {
      await open.stop();
    }
  });

  it('follows the provider at each sign-in, and revokes tokens made for what the person might before', async () => {
    const { answer } = await signIn({ weephole_role: 'manager' });
    const personId = answer.body.person.id;
    const made = await fleet.manager.post('/v1/tokens', { name: 'Ana’s script', role: 'manager', personId });
    const script = service.client(made.body.token);
    expect((await script.get('/v1/me')).status).toBe(200);
    const depot = (await fleet.manager.post('/v1/depots', { name: 'Quarry' })).body.id;
    const { page } = await signIn({ weephole_depots: [depot, uuidv7()], name: 'Ana F. Costa' });
    expect((await fleet.manager.get(`/v1/people/${personId}`)).body).toMatchObject({
      ...{ role: 'mechanic', depotIds: [depot], name: 'Ana F. Costa' },
    });
    expect((await page.get('/v1/me')).body.depots).toEqual([{ id: depot, name: 'Quarry' }]);
    expect((await script.get('/v1/me')).status).toBe(401);
  });

  it('lets in nobody whom a manager noted as gone, whatever the provider says', async () => {
    const { page, answer } = await signIn();
    const { id } = answer.body.person;
    expect((await fleet.manager.patch(`/v1/people/${id}`, { state: 'left' })).status).toBe(200);
    expect((await page.get('/v1/me')).status).toBe(401);
    const again = await signIn();
    expect([again.answer.status, again.answer.body.type]).toEqual([403, '/problems/not-assigned']);
    expect(again.answer.headers.get('set-cookie')).toBeNull();
  });

  it.each<[string, JWTPayload, number]>([
    ['for another client', { aud: 'somebody-else' }, 401],
    ['for several, of whom another asked', { aud: [CLIENT, 'other'], azp: 'other' }, 401],
    ['of another attempt', { nonce: 'of yesterday' }, 401],
    ['without a nonce', { nonce: undefined }, 401],
    ['that has expired', { exp: seconds(NOW) - 60 }, 401],
    ['of another issuer', { iss: 'https://other.example' }, 401],
    ['of nobody', { sub: '' }, 401],
    ['without a role', { weephole_role: 'visitor' }, 403],
    ['of a fleet that does not exist', { weephole_fleet: uuidv7() }, 403],
    ['of depots that do not exist', { weephole_depots: [uuidv7()] }, 403],
    ['of a manager bound to depots', { weephole_role: 'manager', weephole_depots: [uuidv7()] }, 403],
  ])('refuses a sign-in %s', async (_which, claims, status) => {
    const { answer } = await signIn(claims);
    expect(answer.status).toBe(status);
    expect(answer.headers.get('set-cookie')).toBeNull();
    expect((await fleet.manager.get('/v1/people')).body.items).toEqual([]);
  });

  it('refuses a code that is used twice, unknown, or taken by somebody without the verifier', async () => {
    const given = await comeBack();
    const page = pageAt(service.url);
    expect((await page.post('/v1/sessions', { provider: given })).status).toBe(201);
    const taken = { ...(await comeBack()), verifier: randomBytes(32).toString('base64url') };
    for (const provider of [given, { ...given, code: 'none' }, taken]) {
      const { status, body } = await pageAt(service.url).post('/v1/sessions', { provider });
      expect([status, body.type]).toEqual([401, '/problems/no-valid-sign-in']);
    }
  });

  it('says which field is wrong, and takes one way at a time', async () => {
    const given = await comeBack();
    const page = pageAt(service.url);
    const short = await page.post('/v1/sessions', { provider: { ...given, verifier: 'short' } });
    expect(short.body.errors).toMatchObject([{ pointer: '/provider/verifier' }]);
    const both = await page.post('/v1/sessions', { provider: given, token: fleet.manager.token });
    expect(both.status).toBe(422);
  });

  it('says that the provider is away, and lets links and tokens in meanwhile', async () => {
    const given = await comeBack();
    issuer.down();
    const { status, body } = await pageAt(service.url).post('/v1/sessions', { provider: given });
    expect([status, body.type]).toEqual([503, '/problems/sign-in-away']);
    const page = pageAt(service.url);
    expect((await page.post('/v1/sessions', { token: fleet.manager.token })).status).toBe(201);
  });

  it('opens two sessions of one person when two devices of somebody new come at once', async () => {
    const both = [await comeBack(), await comeBack()];
    const answers = await Promise.all(
      both.map((provider) => pageAt(service.url).post('/v1/sessions', { provider })),
    );
    expect(answers.map(({ status }) => status)).toEqual([201, 201]);
    expect((await fleet.manager.get('/v1/people')).body.items).toHaveLength(1);
  });

  it('is not offered where none is set up', async () => {
    const plain = await startService({ env: {} });
    try {
      const { status, body } = await plain.client(null).get('/v1/sign-in-ways');
      expect([status, body]).toEqual([200, { provider: null }]);
      const given = { code: 'c', verifier: 'v'.repeat(43), nonce: 'n' };
      const answer = await pageAt(plain.url).post('/v1/sessions', { provider: given });
      expect([answer.status, answer.body.errors[0].pointer]).toEqual([422, '/provider']);
    } finally {
      await plain.stop();
    }
  });
});
