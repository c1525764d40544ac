import { createHmac, createPublicKey } from 'node:crypto';
import type { JWTPayload } from 'jose';
import { v7 as uuidv7 } from 'uuid';
import { OidcVerifier } from '../../../src/platform/access/oidc.js';
import { type Issuer, startIssuer } from '../../support/issuer.js';
import { startProvider } from '../../support/provider.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const AUDIENCE = 'weephole';
const seconds = (instant: string): number => Date.parse(instant) / 1000;

describe('a sign-in by an OpenID Connect provider', () => {
  let issuer: Issuer;
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    issuer = await startIssuer();
    service = await startService({ at: NOW, env: { OIDC_ISSUER: issuer.url, OIDC_AUDIENCE: AUDIENCE } });
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  });
  afterAll(async () => {
    await service.stop();
    await issuer.close();
  });

  const good = (): JWTPayload => ({
    iss: issuer.url,
    aud: AUDIENCE,
    sub: 'ana@district.example',
    iat: seconds(NOW) - 60,
    exp: seconds(NOW) + 600,
    weephole_fleet: fleet.fleetId,
    weephole_role: 'mechanic',
  });
  const client = async (claims: JWTPayload, header?: Record<string, unknown>): Promise<Client> =>
    service.client(await issuer.sign({ ...good(), ...claims }, header));
  const statusOf = async (token: string): Promise<number> =>
    (await service.client(token).get('/v1/fleet')).status;

  it('gives access to the fleet and role in its claims', async () => {
    const ana = await client({});
    expect((await ana.get('/v1/fleet')).body.id).toBe(fleet.fleetId);
    const done = await ana.post('/v1/job-reports', goodJob(scenario.vehicleId, '2026-04-01T12:00:00Z', 9610));
    expect(done.status).toBe(201);
    expect((await ana.post('/v1/depots', { name: 'No' })).status).toBe(403);
    const boss = await client({ sub: 'boss', weephole_role: ['staff', 'dashboard', 'manager'] });
    expect((await boss.post('/v1/depots', { name: 'Valley' })).status).toBe(201);
    // Tokens still work beside it.
    expect((await fleet.dashboard.get('/v1/fleet')).status).toBe(200);
  });

  it('appears in the audit by its subject', async () => {
    const boss = await client({ sub: 'boss', weephole_role: 'manager' });
    expect((await boss.patch('/v1/fleet', { name: 'Signed' })).status).toBe(200);
    const { body } = await boss.get('/v1/audit?kind=fleet&actor=boss');
    expect(body.items[0].actor).toEqual({
      kind: 'sign-in',
      id: 'boss',
      name: null,
      role: 'manager',
      person: null,
    });
  });

  it('can be bound to depots, and never gives more access than intended', async () => {
    const bound = await client({ weephole_depots: [scenario.depotId] });
    expect((await bound.get('/v1/vehicles')).body.items).toHaveLength(1);
    const elsewhere = await client({ weephole_depots: [uuidv7()] });
    expect((await elsewhere.get('/v1/vehicles')).body.items).toEqual([]);
    for (const claims of [
      { weephole_depots: [] },
      { weephole_depots: 'all' },
      { weephole_depots: ['Ridge'] },
      { weephole_depots: [scenario.depotId], weephole_role: 'manager' },
    ]) {
      const refused = await (await client(claims)).get('/v1/vehicles');
      expect([claims, refused.status, refused.body.type]).toEqual([claims, 403, '/problems/not-assigned']);
    }
  });

  it('without a claim of depots sees the whole fleet or nothing, as the settings say', async () => {
    const env = { OIDC_ISSUER: issuer.url, OIDC_AUDIENCE: AUDIENCE, OIDC_WITHOUT_DEPOTS: 'none' };
    const other = await startService({ at: NOW, env });
    try {
      const { fleetId } = await other.newFleet();
      const open = async (claims: JWTPayload) =>
        other
          .client(await issuer.sign({ ...good(), weephole_fleet: fleetId, ...claims }))
          .get('/v1/vehicles');
      for (const claims of [{}, { weephole_depots: null }, { weephole_role: 'dashboard' }]) {
        const refused = await open(claims);
        expect([claims, refused.status, refused.body.type]).toEqual([claims, 403, '/problems/not-assigned']);
        expect(refused.body.detail).toContain('weephole_depots');
      }
      expect((await open({ weephole_depots: [uuidv7()] })).status).toBe(200);
      // A manager cannot be bound to depots.
      expect((await open({ weephole_role: 'manager' })).status).toBe(200);
    } finally {
      await other.stop();
    }
    expect((await (await client({})).get('/v1/vehicles')).status).toBe(200);
  });

  it('is refused without a known fleet or a role', async () => {
    for (const claims of [
      { weephole_fleet: uuidv7() },
      { weephole_fleet: undefined },
      { weephole_fleet: 'north' },
      { weephole_fleet: [fleet.fleetId] },
      { weephole_role: undefined },
      { weephole_role: 'owner' },
      { weephole_role: 'calendar' },
      { weephole_role: { manager: true } },
    ]) {
      const refused = await (await client(claims)).get('/v1/fleet');
      expect([claims, refused.status, refused.body.type]).toEqual([claims, 403, '/problems/not-assigned']);
    }
  });

  it('is refused for another audience or issuer, outside its time, and without an end', async () => {
    for (const claims of [
      { aud: 'another-service' },
      { aud: undefined },
      { iss: 'https://elsewhere.example' },
      { iss: `${issuer.url}/` },
      { exp: seconds(NOW) - 31 },
      { exp: undefined },
      { nbf: seconds(NOW) + 31 },
      { sub: undefined },
      { sub: '' },
      { sub: ' \t' },
      { sub: 'a\u0000b' },
      { sub: 7 as never },
      { sub: null as never },
    ]) {
      const refused = await (await client(claims)).get('/v1/fleet');
      expect([claims, refused.status]).toEqual([claims, 401]);
      expect(refused.headers.get('www-authenticate')).toBe('Bearer error="invalid_token"');
      expect(refused.body.type).toBe('/problems/no-valid-token');
    }
    expect((await (await client({ aud: ['other', AUDIENCE] })).get('/v1/fleet')).status).toBe(200);
  });

  it('is refused if unsigned, signed with the public key as a secret, changed, or signed by somebody else', async () => {
    const encode = (part: object): string => Buffer.from(JSON.stringify(part)).toString('base64url');
    const unsigned = `${encode({ alg: 'none' })}.${encode(good())}.`;
    expect(await statusOf(unsigned)).toBe(401);
    expect(await statusOf(`${unsigned}AAAA`)).toBe(401);
    const pem = createPublicKey({ key: issuer.publicJwk() as never, format: 'jwk' })
      .export({ type: 'spki', format: 'pem' })
      .toString();
    for (const secret of [pem, JSON.stringify(issuer.publicJwk()), '']) {
      const content = `${encode({ alg: 'HS256', kid: issuer.publicJwk().kid })}.${encode(good())}`;
      const forged = `${content}.${createHmac('sha256', secret).update(content).digest('base64url')}`;
      expect(await statusOf(forged)).toBe(401);
    }
    const [header = '', , signature = ''] = (await issuer.sign(good())).split('.');
    expect(await statusOf(`${header}.${encode({ ...good(), weephole_role: 'manager' })}.${signature}`)).toBe(
      401,
    );
    const stranger = await startIssuer();
    try {
      const foreign = await stranger.sign(good(), { kid: issuer.publicJwk().kid });
      expect(await statusOf(foreign)).toBe(401);
      // A key that the token itself contains or links to is not trusted either.
      const jwk = stranger.publicJwk();
      for (const extra of [{ jwk }, { jku: `${stranger.url}/keys` }])
        expect(await statusOf(await stranger.sign(good(), { ...extra, kid: 'theirs' }))).toBe(401);
      expect(stranger.keysAsked).toBe(0);
    } finally {
      await stranger.close();
    }
    for (const broken of [
      'a.b.c',
      '..',
      'a.b.',
      `${header}..${signature}`,
      `${header}.e30`,
      `${'a'.repeat(13_000)}.b.c`,
    ])
      expect([broken.slice(0, 20), await statusOf(broken)]).toEqual([broken.slice(0, 20), 401]);
  });

  it('works with a token from a certified provider', async () => {
    const provider = await startProvider({ weephole_fleet: fleet.fleetId, weephole_role: 'dashboard' });
    const env = { OIDC_ISSUER: provider.url, OIDC_AUDIENCE: provider.audience };
    // The provider uses the real time, so this service does too.
    const other = await startService({ at: new Date().toISOString(), env });
    try {
      const { fleetId } = await other.newFleet();
      provider.claims.weephole_fleet = fleetId;
      const answer = await other.client(await provider.token()).get('/v1/fleet');
      expect([answer.status, answer.body.id]).toEqual([200, fleetId]);
    } finally {
      await other.stop();
      await provider.close();
    }
  });

  it('works when just renewed, whatever others at the address sent', async () => {
    const env = { OIDC_ISSUER: issuer.url, OIDC_AUDIENCE: AUDIENCE, REFUSALS_PER_MINUTE: '3' };
    const other = await startService({ at: NOW, env });
    try {
      const { fleetId } = await other.newFleet();
      const stranger = await issuer.sign({ ...good(), aud: 'another-service' });
      for (const token of [null, 'nonsense', 'a.b.c', stranger, stranger, null])
        await other.client(token).get('/v1/fleet');
      for (const token of [null, 'nonsense', stranger])
        expect((await other.client(token).get('/v1/fleet')).status).toBe(429);
      for (const age of [1, 2, 3]) {
        const claims = { ...good(), weephole_fleet: fleetId, iat: seconds(NOW) - age };
        expect((await other.client(await issuer.sign(claims)).get('/v1/fleet')).status).toBe(200);
      }
    } finally {
      await other.stop();
    }
  });

  it('has its claims where the settings say, by name or by path', async () => {
    const other = await startService({
      at: NOW,
      env: {
        ...{
          OIDC_ISSUER: issuer.url,
          OIDC_AUDIENCE: AUDIENCE,
          OIDC_FLEET_CLAIM: 'https://district.example/fleet',
        },
        ...{ OIDC_ROLE_CLAIM: '/resource_access/weephole/roles', OIDC_DEPOTS_CLAIM: '/yards' },
      },
    });
    try {
      const { fleetId } = await other.newFleet();
      const token = await issuer.sign({
        ...good(),
        weephole_fleet: undefined,
        'https://district.example/fleet': fleetId.toUpperCase(),
        weephole_role: 'manager',
        resource_access: { weephole: { roles: ['dashboard'] } },
      });
      const answer = await other.client(token).get('/v1/fleet');
      expect([answer.status, answer.body.id]).toEqual([200, fleetId]);
      expect((await other.client(token).get('/v1/tokens')).status).toBe(403);
      expect((await other.client(await issuer.sign(good())).get('/v1/fleet')).status).toBe(403);
    } finally {
      await other.stop();
    }
  });

  it('does not work if no provider is set', async () => {
    const plain = await startService({ at: NOW });
    try {
      expect((await plain.client(await issuer.sign(good())).get('/v1/fleet')).status).toBe(401);
    } finally {
      await plain.stop();
    }
  });

  it('gets 503 with Retry-After while the provider is down, and works once it is back', async () => {
    const provider = await startIssuer('ES256');
    const other = await startService({
      at: NOW,
      env: { OIDC_ISSUER: provider.url, OIDC_AUDIENCE: AUDIENCE },
    });
    try {
      provider.down();
      const { fleetId, dashboard } = await other.newFleet();
      const token = await provider.sign({ ...good(), iss: provider.url, weephole_fleet: fleetId });
      for (let asked = 0; asked < 3; asked++) {
        const away = await other.client(token).get('/v1/fleet');
        expect([away.status, away.headers.get('retry-after')]).toEqual([503, '5']);
        expect(away.body.type).toBe('/problems/sign-in-away');
      }
      // Tokens issued by the service do not need the provider.
      expect((await dashboard.get('/v1/fleet')).status).toBe(200);
      provider.up();
      await until(async () => (await other.client(token).get('/v1/fleet')).status === 200, 60_000);
      // Once its keys are known, it may be away again.
      provider.down();
      expect((await other.client(token).get('/v1/fleet')).status).toBe(200);
    } finally {
      await other.stop();
      await provider.close();
    }
  });

  it('is verified with the provider’s new keys, which are not fetched every time', async () => {
    const provider = await startIssuer();
    const settings = {
      ...{ issuer: provider.url, audience: AUDIENCE, fleetClaim: 'weephole_fleet' },
      ...{ roleClaim: 'weephole_role', depotsClaim: 'weephole_depots' },
      withoutDepots: 'all' as const,
      client: null,
    };
    const patient = new OidcVerifier(settings, service.clock);
    const quick = new OidcVerifier(settings, service.clock, 0);
    const sign = () => provider.sign({ ...good(), iss: provider.url });
    try {
      const before = await sign();
      for (const verifier of [patient, quick])
        expect((await verifier.verify(before)).subject).toBe('ana@district.example');
      await provider.rotate('ES256');
      const after = await sign();
      expect((await quick.verify(after)).role).toBe('mechanic');
      await expect(quick.verify(before)).rejects.toMatchObject({ status: 401 });
      provider.keysAsked = 0;
      for (let asked = 0; asked < 20; asked++)
        await expect(patient.verify(after)).rejects.toMatchObject({ status: 401 });
      expect(provider.keysAsked).toBe(0);
    } finally {
      await provider.close();
    }
  });
});
