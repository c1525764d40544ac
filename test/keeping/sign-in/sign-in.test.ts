import { paper } from '../../support/pictures.js';
import { rawRequest } from '../../support/raw-http.js';
import { codeOf, pageAt, signedIn } from '../../support/browser-client.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { goodJob, postScenario } from '../../support/scenario.js';

const NOW = '2026-04-02T15:00:00Z';
const COOKIE = /^weephole=whs_[\w-]{43}; Path=\/; Max-Age=7776000; HttpOnly; SameSite=Lax$/;

describe('signing in', () => {
  let service: Service;
  let fleet: FleetHandle;
  let kim: any;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    kim = (await fleet.manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' })).body;
  });
  afterAll(() => service.stop());

  const linkFor = async (personId = kim.id, headers?: Record<string, string>) =>
    fleet.manager.post(`/v1/people/${personId}/sign-in-links`, undefined, headers);
  const codeFor = async (personId?: string): Promise<string> => codeOf((await linkFor(personId)).body.url);
  const redeem = (body: object, headers?: Record<string, string>) =>
    pageAt(service.url).post('/v1/sessions', body, headers);
  const entries = async (query: string): Promise<any[]> =>
    (await fleet.manager.get(`/v1/audit?${query}`)).body.items;

  it('takes a link that a manager makes; it is shown once, as an address and as a QR code', async () => {
    const link = await linkFor();
    expect([link.status, link.headers.get('cache-control')]).toEqual([201, 'no-store']);
    expect(link.body).toEqual({
      ...{ id: expect.any(String), personId: kim.id },
      ...{ createdAt: '2026-04-02T15:00:00.000Z', expiresAt: '2026-04-02T15:10:00.000Z' },
      url: expect.stringMatching(new RegExp(`^${service.url}/sign-in#whl_[\\w-]{27}$`)),
      qrCode: expect.stringMatching(/^<svg [^]*<\/svg>/),
    });
    const page = pageAt(service.url);
    const opened = await page.post(
      '/v1/sessions',
      { code: codeOf(link.body.url) },
      {
        'user-agent': 'Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Chrome/131.0 Mobile Safari/537.36',
      },
    );
    expect([opened.status, opened.headers.get('cache-control')]).toEqual([201, 'no-store']);
    expect(opened.headers.get('set-cookie')).toMatch(COOKIE);
    expect(opened.body).toEqual({
      ...{ id: expect.any(String), person: { id: kim.id, name: 'Kim Oduya' }, tokenId: null },
      ...{ device: 'Chrome, Android', createdAt: '2026-04-02T15:00:00.000Z' },
      ...{ lastUsedAt: '2026-04-02T15:00:00.000Z', expiresAt: '2026-07-01T15:00:00.000Z', current: true },
    });
    expect((await page.get('/v1/me')).body).toMatchObject({
      ...{ person: { id: kim.id, name: 'Kim Oduya' }, role: 'mechanic', sessionId: opened.body.id },
    });
    expect((await page.get('/v1/vehicles')).status).toBe(200);
    expect((await page.post('/v1/depots', { name: 'No' })).status).toBe(403);
  });

  it('shows the code of a link in no repeated answer, no audit entry and no row', async () => {
    const first = await linkFor(kim.id, { 'idempotency-key': 'link-1' });
    const again = await linkFor(kim.id, { 'idempotency-key': 'link-1' });
    expect(again.body).toEqual({ ...first.body, url: null, qrCode: null });
    const page = pageAt(service.url);
    await page.post('/v1/sessions', { code: codeOf(first.body.url) });
    const secrets = [codeOf(first.body.url), page.cookie.split('=')[1] as string];
    const { rows } = await service.database.admin.query<{ text: string }>(
      `select (select json_agg(a)::text from audit_entries a) || (select json_agg(i)::text from idempotency_records i)
         || (select json_agg(s)::text from sessions s) || (select json_agg(l)::text from sign_in_links l) as text`,
    );
    expect(rows[0]?.text).toContain('sign-in-link');
    for (const secret of secrets) expect(rows[0]?.text).not.toContain(secret.slice(4));
  });

  it('takes each link once, and none after ten minutes, with the same answer as for an unknown one', async () => {
    const answerTo = async (code: string) => {
      const { status, body } = await redeem({ code });
      return { status, type: body.type, detail: body.detail };
    };
    const spent = {
      ...{ status: 401, type: '/problems/no-valid-sign-in' },
      detail: 'This sign-in link has been used or has expired. Ask for a new one.',
    };
    const used = await codeFor();
    expect((await redeem({ code: used })).status).toBe(201);
    expect(await answerTo(used)).toEqual(spent);
    expect(await answerTo(`whl_${'a'.repeat(27)}`)).toEqual(spent);
    const late = await codeFor();
    const inTime = await codeFor();
    service.clock.moveTo('2026-04-02T15:09:59Z');
    expect((await redeem({ code: inTime })).status).toBe(201);
    service.clock.moveTo('2026-04-02T15:10:00Z');
    expect(await answerTo(late)).toEqual(spent);
    const left = await codeFor();
    await fleet.manager.patch(`/v1/people/${kim.id}`, { state: 'left' });
    expect(await answerTo(left)).toEqual(spent);
    const refused = await linkFor();
    expect([refused.status, refused.body.type]).toEqual([409, '/problems/person-left']);
  });

  it('gives a link to one of many that redeem it at once', async () => {
    const code = await codeFor();
    const answers = await Promise.all(Array.from({ length: 12 }, () => redeem({ code })));
    expect(answers.map(({ status }) => status).sort()).toEqual([201, ...Array<number>(11).fill(401)]);
    expect(answers.filter(({ headers }) => headers.has('set-cookie'))).toHaveLength(1);
    expect(await entries('kind=session&action=created')).toHaveLength(1);
  });

  it('takes an access token instead, and the session does what the token may and ends with it', async () => {
    const { body: issued } = await fleet.manager.post('/v1/tokens', { name: 'bay 2', role: 'mechanic' });
    const page = pageAt(service.url);
    const opened = await page.post('/v1/sessions', { token: issued.token, device: ' Bay 2 tablet ' });
    expect([opened.status, opened.body]).toEqual([
      201,
      expect.objectContaining({ person: null, tokenId: issued.id, device: 'Bay 2 tablet' }),
    ]);
    expect((await page.get('/v1/me')).body).toMatchObject({ person: null, role: 'mechanic' });
    expect((await page.get('/v1/sessions')).body.items.map(({ id }: any) => id)).toEqual([opened.body.id]);
    expect((await fleet.manager.delete(`/v1/tokens/${issued.id}`)).status).toBe(204);
    expect((await page.get('/v1/me')).status).toBe(401);
    for (const role of ['calendar', 'telematics']) {
      const { body } = await fleet.manager.post('/v1/tokens', { name: role, role });
      const refused = await redeem({ token: body.token });
      expect([role, refused.status, refused.body.type]).toEqual([role, 403, '/problems/wrong-role']);
    }
  });

  it('refuses what is neither a code nor a token, both, or a revoked or expired token', async () => {
    const code = await codeFor();
    const { body: lost } = await fleet.manager.post('/v1/tokens', { name: 'lost', role: 'driver' });
    await fleet.manager.delete(`/v1/tokens/${lost.id}`);
    const { body: over } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'over', role: 'driver', expiresAt: '2026-04-02T15:00:01Z' },
    });
    service.clock.moveTo('2026-04-02T15:00:02Z');
    const session = (await signedIn(service.url, fleet.manager, kim.id)).cookie.split('=')[1];
    for (const [body, status] of [
      [{}, 422],
      [{ code, token: fleet.manager.token }, 422],
      [{ code: 'x' }, 401],
      [{ code: fleet.manager.token }, 401],
      [{ code: session }, 401],
      [{ token: code }, 401],
      [{ token: session }, 401],
      [{ token: lost.token }, 401],
      [{ token: over.token }, 401],
      [{ token: `wh_${'a'.repeat(43)}` }, 401],
      [{ code: 7 }, 422],
    ] as const) {
      const answer = await redeem(body);
      expect([body, answer.status, answer.headers.get('set-cookie')]).toEqual([body, status, null]);
    }
    // None of that used the link up.
    expect((await redeem({ code })).status).toBe(201);
  });

  it('never takes a session secret that the browser brought along', async () => {
    const planted = `whs_${'a'.repeat(43)}`;
    const page = pageAt(service.url, `weephole=${planted}`);
    expect((await page.post('/v1/sessions', { code: await codeFor() })).status).toBe(201);
    expect(page.cookie).not.toContain(planted);
    expect((await pageAt(service.url, `weephole=${planted}`).get('/v1/me')).status).toBe(401);
    expect((await page.get('/v1/me')).status).toBe(200);
  });

  it('is done on https with a cookie that only this host can set', async () => {
    const page = pageAt(service.url);
    const origin = { origin: 'https://weephole.example.org' };
    const opened = await page.post('/v1/sessions', { code: await codeFor() }, origin);
    expect(opened.headers.get('set-cookie')).toMatch(
      /^__Host-weephole=whs_[\w-]{43}; Path=\/; Max-Age=7776000; HttpOnly; SameSite=Lax; Secure$/,
    );
    const secret = page.cookie.split('=')[1] as string;
    expect((await page.get('/v1/me')).status).toBe(200);
    // A neighbouring host can plant the unprotected cookie; over https it counts for nothing.
    const other = await service.newFleet();
    const spy = (await other.manager.post('/v1/people', { name: 'Spy', role: 'manager' })).body;
    const planted = (await signedIn(service.url, other.manager, spy.id)).cookie;
    const both = pageAt(service.url, `${planted}; __Host-weephole=${secret}`);
    expect((await both.get('/v1/me')).body.person.id).toBe(kim.id);
    const onlyPlanted = await pageAt(service.url, planted).get('/v1/me', origin);
    expect(onlyPlanted.status).toBe(401);
  });

  describe('the cookie', () => {
    it('counts only in its exact spelling, and only once', async () => {
      const page = await signedIn(service.url, fleet.manager, kim.id);
      const secret = page.cookie.split('=')[1] as string;
      const ask = (cookie: string) => pageAt(service.url, cookie).get('/v1/me');
      for (const cookie of [
        `weephole=${secret}`,
        ` weephole=${secret} `,
        `a=b; weephole=${secret}; c=d`,
        `xweephole=${secret.slice(0, 20)}; weephole=${secret}`,
        `weephole=${secret};`,
      ])
        expect([cookie, (await ask(cookie)).status]).toEqual([cookie, 200]);
      for (const cookie of [
        `Weephole=${secret}`,
        `WEEPHOLE=${secret}`,
        `weephole="${secret}"`,
        `weephole=${secret.replace('_', '%5F')}`,
        `weephole=${secret}=`,
        `weephole=${secret.toUpperCase()}`,
        `weephole=${secret.slice(0, -1)}`,
        `weephole=${secret}, weephole=${secret}`,
        `__host-weephole=${secret}`,
        `weephole${secret}`,
        `weephole=${fleet.manager.token}`,
        `weephole=`,
        `$Version=1; "weephole"=${secret}`,
      ])
        expect([cookie, (await ask(cookie)).status]).toEqual([cookie, 401]);
      // Twice, nobody can say which one the person chose, even if they are equal.
      const second = (await signedIn(service.url, fleet.manager, kim.id)).cookie;
      for (const cookie of [`weephole=${secret}; ${second}`, `weephole=${secret}; weephole=${secret}`]) {
        const { status, body } = await ask(cookie);
        expect([cookie, status, body.type]).toEqual([cookie, 400, '/problems/repeated-header']);
      }
      const headers = await rawRequest(service.url, 'GET', '/v1/me', {
        headers: { Cookie: page.cookie, cookie: second },
      });
      expect(headers.status).toBe(400);
    });

    it('is no bearer, and gives way to one', async () => {
      const page = await signedIn(service.url, fleet.manager, kim.id);
      const secret = page.cookie.split('=')[1] as string;
      expect((await service.client(secret).get('/v1/me')).status).toBe(401);
      const asManager = { authorization: `Bearer ${fleet.manager.token}` };
      expect((await page.get('/v1/me', asManager)).body.role).toBe('manager');
      // A program needs no header of a page, even if a cookie comes along.
      const made = await service.client(fleet.manager.token).post(
        '/v1/depots',
        { name: 'A' },
        {
          cookie: page.cookie,
        },
      );
      expect(made.status).toBe(201);
      for (const authorization of ['Bearer wh_x', 'Basic eDp5', `Bearer wh_${'a'.repeat(43)}`])
        expect([authorization, (await page.get('/v1/me', { authorization })).status]).toEqual([
          authorization,
          401,
        ]);
    });

    it('changes nothing without the header of our pages, or from another site', async () => {
      const boss = (await fleet.manager.post('/v1/people', { name: 'Ann', role: 'manager' })).body;
      const { cookie } = await signedIn(service.url, fleet.manager, boss.id);
      const bare = service.client(null);
      const depotsBefore = (await fleet.manager.get('/v1/depots')).body.items.length;
      for (const headers of [
        {},
        { 'weephole-page': '0' },
        { 'weephole-page': '1, 1' },
        { 'weephole-page': '1', 'sec-fetch-site': 'cross-site' },
        { 'weephole-page': '1', 'sec-fetch-site': 'same-site' },
        { 'weephole-page': '1', 'sec-fetch-site': 'same-origin, cross-site' },
        { 'weephole-page': '1', 'sec-fetch-site': '' },
      ] as Record<string, string>[]) {
        const { status, body } = await bare.post('/v1/depots', { name: 'Planted' }, { ...headers, cookie });
        expect([headers, status, body.type]).toEqual([headers, 403, '/problems/not-from-own-page']);
        const opened = await bare.post('/v1/sessions', { code: await codeFor() }, headers);
        expect([headers, opened.status, opened.headers.get('set-cookie')]).toEqual([headers, 403, null]);
      }
      for (const method of ['patch', 'delete'] as const)
        expect((await bare[method]('/v1/depots/x', { cookie }, { cookie })).status).toBe(403);
      expect((await fleet.manager.get('/v1/depots')).body.items).toHaveLength(depotsBefore);
      const own = { 'weephole-page': '1', cookie };
      expect((await bare.post('/v1/depots', { name: 'Ours' }, own)).status).toBe(201);
      const site = { ...own, 'sec-fetch-site': 'none' };
      expect((await bare.post('/v1/depots', { name: 'Ours too' }, site)).status).toBe(201);
      // Reading needs no header: a person may open an address.
      expect((await bare.get('/v1/depots', { cookie })).status).toBe(200);
      expect((await bare.get('/v1/depots', { cookie, 'sec-fetch-site': 'cross-site' })).status).toBe(200);
    });

    it('shows nothing of another fleet, and is told apart from one of another fleet', async () => {
      const other = await service.newFleet();
      const { body: depot } = await other.manager.post('/v1/depots', { name: 'Theirs' });
      const theirs = (await other.manager.post('/v1/people', { name: 'Spy', role: 'manager' })).body;
      const spy = await signedIn(service.url, other.manager, theirs.id);
      const page = await signedIn(service.url, fleet.manager, kim.id);
      expect((await page.get(`/v1/depots/${depot.id}`)).status).toBe(404);
      expect((await spy.get('/v1/me')).body.fleet.id).toBe(other.fleetId);
      const { items } = (await page.get('/v1/sessions')).body;
      expect((await spy.delete(`/v1/sessions/${items[0].id}`)).status).toBe(404);
      expect((await spy.get(`/v1/sessions?personId=${kim.id}`)).body.items).toEqual([]);
      expect((await spy.post(`/v1/people/${kim.id}/sign-in-links`)).status).toBe(404);
      expect((await page.get('/v1/me')).status).toBe(200);
    });
  });

  it('lasts 90 days from the last day of use, and the cookie is then sent anew', async () => {
    const page = await signedIn(service.url, fleet.manager, kim.id);
    const at = async (instant: string) => {
      service.clock.moveTo(instant);
      const answer = await page.get('/v1/me');
      return [answer.status, answer.headers.has('set-cookie')];
    };
    const { cookie } = page;
    expect(await at('2026-04-03T14:59:59Z')).toEqual([200, false]);
    expect(await at('2026-04-03T15:00:00Z')).toEqual([200, true]);
    expect(page.cookie).toBe(cookie);
    expect(await at('2026-04-03T16:00:00Z')).toEqual([200, false]);
    expect(await at('2026-07-02T14:59:59Z')).toEqual([200, true]);
    expect((await page.get('/v1/sessions')).body.items[0]).toMatchObject({
      ...{ lastUsedAt: '2026-07-02T14:59:59.000Z', expiresAt: '2026-09-30T14:59:59.000Z' },
    });
    expect(await at('2026-09-30T14:59:59Z')).toEqual([401, false]);
    expect((await page.get('/v1/me')).body.detail).toMatch(/Sign in again/);
  });

  it('can be ended: by whoever signed in, on any device, and by a manager', async () => {
    const [phone, tablet, bench] = [
      await signedIn(service.url, fleet.manager, kim.id),
      await signedIn(service.url, fleet.manager, kim.id),
      await signedIn(service.url, fleet.manager, kim.id),
    ];
    const lee = (await fleet.manager.post('/v1/people', { name: 'Lee', role: 'mechanic' })).body;
    const other = await signedIn(service.url, fleet.manager, lee.id);
    const idOf = async (page: typeof phone) => (await page.get('/v1/me')).body.sessionId;
    const ids = [await idOf(phone), await idOf(tablet), await idOf(bench)];
    const list = (await phone.get('/v1/sessions')).body.items;
    expect(list.map(({ id }: any) => id).sort()).toEqual([...ids].sort());
    expect(list.filter(({ current }: any) => current).map(({ id }: any) => id)).toEqual([ids[0]]);
    const first = await phone.get('/v1/sessions?limit=2');
    const rest = await phone.get(`/v1/sessions?limit=2&cursor=${first.body.next}`);
    expect([...first.body.items, ...rest.body.items].map(({ id }: any) => id)).toEqual(
      list.map(({ id }: any) => id),
    );
    expect((await other.get('/v1/sessions')).body.items).toHaveLength(1);
    expect((await other.get(`/v1/sessions?personId=${kim.id}`)).status).toBe(403);
    expect((await other.delete(`/v1/sessions/${ids[1]}`)).status).toBe(404);
    expect((await phone.delete(`/v1/sessions/${ids[1]}`)).status).toBe(204);
    expect((await tablet.get('/v1/me')).status).toBe(401);
    const seen = await fleet.manager.get(`/v1/sessions?personId=${kim.id}`);
    expect(seen.body.items.map(({ id }: any) => id).sort()).toEqual([ids[0], ids[2]].sort());
    expect((await fleet.manager.delete(`/v1/sessions/${ids[2]}`)).status).toBe(204);
    expect((await fleet.manager.delete(`/v1/sessions/${ids[2]}`)).status).toBe(404);
    expect((await bench.get('/v1/me')).status).toBe(401);
    const { cookie } = phone;
    const out = await phone.delete('/v1/sessions/current');
    expect([out.status, out.headers.get('set-cookie')]).toEqual([
      ...[204, 'weephole=; Path=/; Max-Age=0; HttpOnly; SameSite=Lax'],
    ]);
    expect((await pageAt(service.url, cookie).get('/v1/me')).status).toBe(401);
    expect((await other.get('/v1/me')).status).toBe(200);
    // A token is no session.
    expect((await fleet.manager.delete('/v1/sessions/current')).status).toBe(404);
  });

  it('follows the person at once: role, depots, and whether they have left', async () => {
    const scenario = await postScenario(fleet);
    const { body: empty } = await fleet.manager.post('/v1/depots', { name: 'Empty' });
    const page = await signedIn(service.url, fleet.manager, kim.id);
    const vehicles = async () => (await page.get('/v1/vehicles')).body.items?.length;
    const change = (body: object) => fleet.manager.patch(`/v1/people/${kim.id}`, body);
    expect(await vehicles()).toBe(1);
    await change({ depotIds: [empty.id] });
    expect(await vehicles()).toBe(0);
    await change({ depotIds: [empty.id, scenario.depotId] });
    expect(await vehicles()).toBe(1);
    // Signing out works for a person who is bound to depots, too.
    const second = await signedIn(service.url, fleet.manager, kim.id);
    expect((await second.delete('/v1/sessions/current')).status).toBe(204);
    await change({ role: 'driver' });
    expect((await page.get('/v1/vehicles')).status).toBe(403);
    expect((await page.get('/v1/me')).body.role).toBe('driver');
    await change({ state: 'left' });
    expect((await page.get('/v1/me')).status).toBe(401);
    await change({ state: 'active' });
    expect((await page.get('/v1/me')).status).toBe(401);
  });

  it('is recorded: who made the link, who redeemed it, and who ended the session', async () => {
    const page = await signedIn(service.url, fleet.manager, kim.id);
    const { sessionId } = (await page.get('/v1/me')).body;
    const [job] = [await postJob(page)];
    await page.delete('/v1/sessions/current');
    const { items: tokens } = (await fleet.manager.get('/v1/tokens')).body;
    const boss = tokens.find(({ role }: any) => role === 'manager');
    const asKim = {
      ...{ kind: 'person', id: kim.id, name: 'Kim Oduya', role: 'mechanic' },
      person: { id: kim.id, name: 'Kim Oduya' },
    };
    const shown = (list: any[]) => list.map(({ action, actor, changes }) => [action, actor, changes]);
    expect(shown(await entries('kind=sign-in-link')).sort()).toEqual([
      [
        'created',
        expect.objectContaining({ kind: 'token', id: boss.id }),
        { personId: { from: null, to: kim.id }, expiresAt: { from: null, to: expect.any(String) } },
      ],
      ['redeemed', asKim, {}],
    ]);
    expect(shown(await entries(`kind=session&id=${sessionId}`)).sort()).toEqual([
      ['created', asKim, { personId: { from: null, to: kim.id }, hash: { hidden: true } }],
      ['revoked', asKim, { revokedAt: { from: null, to: expect.any(String) } }],
    ]);
    expect((await entries(`id=${job.id}`))[0].actor).toEqual(asKim);
    expect(await entries(`actor=${kim.id}&kind=job-report`)).toHaveLength(1);
  });

  async function postJob(page: Awaited<ReturnType<typeof signedIn>>, more: object = {}): Promise<any> {
    const vehicle = (await fleet.manager.get('/v1/vehicles')).body.items[0];
    const vehicleId = vehicle?.id ?? (await postScenario(fleet)).vehicleId;
    const { performedBy: _signed, ...job } = goodJob(vehicleId, '2026-03-02T10:00:00Z', 9010) as any;
    const { status, body } = await page.post('/v1/job-reports', { ...job, ...more });
    expect([status, body.errors]).toEqual([201, undefined]);
    return body;
  }

  it('signs the reports and defects of whoever is signed in, unless they name somebody', async () => {
    const page = await signedIn(service.url, fleet.manager, kim.id);
    const job = await postJob(page);
    expect(job.performedBy).toBe('Kim Oduya');
    expect((await page.get(`/v1/job-reports/${job.id}`)).body.performedBy).toBe('Kim Oduya');
    const named = await postJob(page, { performedBy: 'badge 14', performedAt: '2026-03-03T10:00:00Z' });
    expect(named.performedBy).toBe('badge 14');
    const { vehicleId } = job;
    const seen = { vehicleId, reportedAt: '2026-03-12T12:00:00Z', source: 'driver', what: 'Squeals' };
    const defect = (await page.post('/v1/defects', seen)).body;
    expect(defect.reportedBy).toBe('Kim Oduya');
    const repaired = await postJob(page, {
      ...{ performedAt: '2026-03-14T10:00:00Z', repairedDefects: [defect.id] },
    });
    expect((await page.get(`/v1/defects/${defect.id}`)).body).toMatchObject({ state: 'repaired' });
    expect(repaired.performedBy).toBe('Kim Oduya');
    const { body: token } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'box', role: 'mechanic', personId: kim.id },
    });
    const byToken = await service
      .client(token.token)
      .post('/v1/defects', { ...seen, what: 'Leaks', reportedAt: '2026-03-20T12:00:00Z' });
    expect(byToken.body.reportedBy).toBeNull();
  });

  it('lets a person see what they reported on any of their devices, and nobody else', async () => {
    const { vehicleId } = await postScenario(fleet);
    const driver = async (name: string) =>
      (await fleet.manager.post('/v1/people', { name, role: 'driver' })).body.id;
    const [ann, lee] = [await driver('Ann Lee'), await driver('Lee Ann')];
    const [phone, tablet, other] = [
      await signedIn(service.url, fleet.manager, ann),
      await signedIn(service.url, fleet.manager, ann),
      await signedIn(service.url, fleet.manager, lee),
    ];
    const { body: defect } = await phone.post('/v1/defects', {
      ...{ vehicleId, reportedAt: '2026-03-12T12:00:00Z', source: 'driver', what: 'Squeals' },
    });
    const seenBy = async (page: typeof phone) =>
      (await page.get('/v1/defects')).body.items.map(({ id }: any) => id);
    expect([await seenBy(phone), await seenBy(tablet), await seenBy(other)]).toEqual([
      ...[[defect.id], [defect.id], []],
    ]);
    const photo = await fetch(`${service.url}/v1/defects/${defect.id}/attachments`, {
      method: 'POST',
      headers: { cookie: phone.cookie, 'weephole-page': '1', 'content-type': 'application/pdf' },
      body: new Uint8Array(paper(2000)),
    });
    expect(photo.status).toBe(201);
    const { id } = (await photo.json()) as { id: string };
    expect((await tablet.get(`/v1/defects/${defect.id}/attachments/${id}`)).status).toBe(200);
  });

  it('answers odd bodies with the reason, and never with a fault of ours', async () => {
    const bare = service.client(null);
    const sent: [string | undefined, number, string?][] = [
      [undefined, 422],
      ['', 422],
      ['{', 400],
      ['null', 422],
      ['[]', 422],
      ['"whl_x"', 422],
      ['{"code":null}', 422],
      ['{"code":["whl_x"]}', 422],
      ['{"code":{"a":1}}', 422],
      [`{"code":"${'x'.repeat(300)}"}`, 422],
      ['{"code":"whl_\\u0000"}', 422],
      ['{"code":"x","role":"manager"}', 422],
      ['{"token":"x","device":7}', 422],
      [`{"token":"x","device":"${'x'.repeat(81)}"}`, 422],
      ['{"token":"x"}', 415, 'text/plain'],
      ['token=x', 415, 'application/x-www-form-urlencoded'],
    ];
    for (const [text, status, type] of sent) {
      const answer = await bare.send('POST', '/v1/sessions', text, {
        ...{ 'weephole-page': '1' },
        ...(type === undefined ? {} : { 'content-type': type }),
      });
      expect([text?.slice(0, 40), answer.status, answer.headers.get('content-type')]).toEqual([
        ...[text?.slice(0, 40), status, expect.stringContaining('application/problem+json')],
      ]);
    }
    // A token in the header changes nothing: signing in is for anybody.
    expect((await redeem({ code: await codeFor() }, { authorization: 'Bearer wh_x' })).status).toBe(201);
  });
});
