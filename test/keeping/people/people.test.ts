import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('the people of a fleet', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const post = (body: object) => fleet.manager.post('/v1/people', { name: 'Kim Oduya', ...body });
  const added = async (body: object = {}): Promise<any> => {
    const { status, body: person } = await post({ role: 'mechanic', ...body });
    expect([status, person.errors]).toEqual([201, undefined]);
    return person;
  };
  const patch = (id: string, body: object, headers?: Record<string, string>) =>
    fleet.manager.patch(`/v1/people/${id}`, body, headers);
  const depot = async (name: string): Promise<string> =>
    (await fleet.manager.post('/v1/depots', { name })).body.id;

  it('are added, read, listed by name, changed and deleted', async () => {
    const ridge = await depot('Ridge');
    const kim = await added({ badge: ' A-7 ', depotIds: [ridge], language: 'es' });
    const shown = {
      ...{ id: expect.any(String), name: 'Kim Oduya', badge: 'A-7', role: 'mechanic', depotIds: [ridge] },
      subject: null,
      ...{ language: 'es', state: 'active', leftAt: null, createdAt: '2026-04-02T15:00:00.000Z', version: 1 },
    };
    expect(kim).toEqual(shown);
    const ann = await added({ name: 'Ann Lee', role: 'manager' });
    expect(ann).toMatchObject({ badge: null, depotIds: null, language: null, state: 'active' });
    expect((await fleet.manager.get(`/v1/people/${kim.id}`)).body).toEqual(shown);
    const names = async (query = ''): Promise<string[]> =>
      (await fleet.manager.get(`/v1/people${query}`)).body.items.map(({ name }: any) => name);
    expect(await names()).toEqual(['Ann Lee', 'Kim Oduya']);
    expect(await names('?badge=A-7')).toEqual(['Kim Oduya']);
    const changed = await patch(kim.id, { name: 'Kim O.', depotIds: null, badge: null });
    expect(changed.body).toEqual({ ...shown, name: 'Kim O.', depotIds: null, badge: null, version: 2 });
    expect((await patch(kim.id, { name: 'Late' }, { 'if-match': '"1"' })).status).toBe(412);
    expect((await fleet.manager.delete(`/v1/people/${ann.id}`)).status).toBe(204);
    expect(await names()).toEqual(['Kim O.']);
  });

  it('have badges that nobody else has, in this fleet', async () => {
    const kim = await added({ badge: 'A-7' });
    const taken = await post({ role: 'driver', badge: 'A-7' });
    expect([taken.status, taken.body.type, taken.body.errors[0].pointer]).toEqual([
      ...[409, '/problems/badge-taken', '/badge'],
    ]);
    await added({ name: 'Nobody', role: 'driver' });
    await added({ name: 'Nobody', role: 'driver' });
    const other = await service.newFleet();
    expect(
      (await other.manager.post('/v1/people', { name: 'Kim', role: 'driver', badge: 'A-7' })).status,
    ).toBe(201);
    await patch(kim.id, { badge: null });
    await added({ badge: 'A-7' });
  });

  it('cannot have a role of programs, unknown depots, or depots as a manager', async () => {
    for (const [body, pointer] of [
      [{ role: 'calendar' }, '/role'],
      [{ role: 'telematics' }, '/role'],
      [{}, '/role'],
      [{ role: 'manager', depotIds: [await depot('Ridge')] }, '/depotIds'],
      [{ role: 'mechanic', depotIds: [] }, '/depotIds'],
      [{ role: 'mechanic', depotIds: ['00000000-0000-4000-8000-000000000000'] }, '/depotIds/0'],
      [{ role: 'mechanic', name: ' ' }, '/name'],
      [{ role: 'mechanic', badge: '' }, '/badge'],
      [{ role: 'mechanic', language: 'fr' }, '/language'],
      [{ role: 'mechanic', state: 'gone' }, '/state'],
    ] as const) {
      const { status, body: problem } = await post(body);
      expect([body, status, problem.errors?.[0]?.pointer]).toEqual([body, 422, pointer]);
    }
  });

  it('are seen by managers only, of their own fleet', async () => {
    const kim = await added();
    const other = await service.newFleet();
    for (const client of [fleet.mechanic, fleet.dashboard]) {
      expect((await client.get('/v1/people')).status).toBe(403);
      expect((await client.get(`/v1/people/${kim.id}`)).status).toBe(403);
    }
    expect((await other.manager.get(`/v1/people/${kim.id}`)).status).toBe(404);
    expect((await other.manager.get('/v1/people')).body.items).toEqual([]);
    const token = await other.manager.post('/v1/tokens', { name: 'x', role: 'driver', personId: kim.id });
    expect([token.status, token.body.errors[0].pointer]).toEqual([422, '/personId']);
  });

  it('own tokens, which can do and see no more than the person', async () => {
    const [ridge, valley] = [await depot('Ridge'), await depot('Valley')];
    const kim = await added({ depotIds: [ridge] });
    const issue = (body: object) =>
      fleet.manager.post('/v1/tokens', { name: 'phone', role: 'mechanic', personId: kim.id, ...body });
    for (const [body, pointer] of [
      [{ role: 'manager' }, '/role'],
      [{}, '/depotIds'],
      [{ depotIds: [valley] }, '/depotIds'],
      [{ depotIds: [ridge, valley] }, '/depotIds'],
    ] as const) {
      const refused = await issue(body);
      expect([body, refused.status, refused.body.errors?.[0]?.pointer]).toEqual([body, 422, pointer]);
    }
    const issued = await issue({ depotIds: [ridge] });
    expect([issued.status, issued.body.personId]).toEqual([201, kim.id]);
    // What refers to a person keeps the person.
    const kept = await fleet.manager.delete(`/v1/people/${kim.id}`);
    expect([kept.status, kept.body.type]).toEqual([409, '/problems/in-use']);
  });

  it.each([
    ['leaves', { state: 'left' }],
    ['gets another role', { role: 'driver' }],
    ['gets other depots', { depotIds: null }],
  ])('lose their tokens at once when a person %s, and nobody else does', async (_what, change) => {
    const ridge = await depot('Ridge');
    const kim = await added({ depotIds: [ridge] });
    const ann = await added({ name: 'Ann Lee', depotIds: [ridge] });
    const tokenOf = async (personId: string) =>
      service.client(
        (
          await fleet.manager.post('/v1/tokens', {
            ...{ name: 'phone', role: 'mechanic', depotIds: [ridge], personId },
          })
        ).body.token,
      );
    const [mine, hers] = [await tokenOf(kim.id), await tokenOf(ann.id)];
    expect((await patch(kim.id, { name: 'Kim O.', depotIds: [ridge] })).status).toBe(200);
    expect((await mine.get('/v1/me')).body.person).toEqual({
      ...{ id: kim.id, name: 'Kim O.', badge: null, language: null },
    });
    expect((await patch(kim.id, change)).status).toBe(200);
    expect((await mine.get('/v1/me')).status).toBe(401);
    expect((await hers.get('/v1/me')).status).toBe(200);
  });

  it('who have left get no token, and can come back', async () => {
    const kim = await added();
    service.clock.moveTo('2026-04-03T15:00:00Z');
    expect((await patch(kim.id, { state: 'left' })).body).toMatchObject({
      ...{ state: 'left', leftAt: '2026-04-03T15:00:00.000Z' },
    });
    service.clock.moveTo('2026-04-04T15:00:00Z');
    expect((await patch(kim.id, { language: 'es' })).body.leftAt).toBe('2026-04-03T15:00:00.000Z');
    const issue = () =>
      fleet.manager.post('/v1/tokens', { name: 'phone', role: 'mechanic', personId: kim.id });
    const refused = await issue();
    expect([refused.status, refused.body.errors[0].pointer]).toEqual([422, '/personId']);
    const list = async (state: string) => (await fleet.manager.get(`/v1/people?state=${state}`)).body.items;
    expect([(await list('left')).length, (await list('active')).length]).toEqual([1, 0]);
    expect((await patch(kim.id, { state: 'active' })).body).toMatchObject({ state: 'active', leftAt: null });
    expect((await issue()).status).toBe(201);
  });

  it('cannot take the last manager token with them', async () => {
    const ann = await added({ name: 'Ann Lee', role: 'manager' });
    const { body: hers } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'desk', role: 'manager', personId: ann.id },
    });
    const { items } = (await fleet.manager.get('/v1/tokens')).body;
    const first = items.find(({ role, id }: any) => role === 'manager' && id !== hers.id);
    const desk = service.client(hers.token);
    expect((await desk.delete(`/v1/tokens/${first.id}`)).status).toBe(204);
    const refused = await desk.patch(`/v1/people/${ann.id}`, { state: 'left' });
    expect([refused.status, refused.body.type]).toEqual([409, '/problems/last-manager-token']);
    expect((await desk.get(`/v1/people/${ann.id}`)).body.state).toBe('active');
  });

  it('are named by the audit', async () => {
    const ann = await added({ name: 'Ann Lee', role: 'manager' });
    const { body: desk } = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'desk', role: 'manager', personId: ann.id },
    });
    const { body: ridge } = await service.client(desk.token).post('/v1/depots', { name: 'Ridge' });
    const actorOf = async (kind: string, id: string) => {
      const { items } = (await fleet.manager.get(`/v1/audit?kind=${kind}&id=${id}`)).body;
      return items.map(({ action, actor }: any) => [action, actor]);
    };
    expect(await actorOf('depot', ridge.id)).toEqual([
      [
        'created',
        {
          ...{ kind: 'token', id: desk.id, name: 'desk', role: 'manager' },
          person: { id: ann.id, name: 'Ann Lee' },
        },
      ],
    ]);
    expect(await actorOf('person', ann.id)).toEqual([
      ['created', expect.objectContaining({ name: 'manager', person: null })],
    ]);
  });

  describe('GET /v1/me', () => {
    it('says who a token is for, whatever its role', async () => {
      const kim = await added({ badge: 'A-7', language: 'es' });
      const { body } = await fleet.manager.post('/v1/tokens', {
        ...{ name: 'phone', role: 'mechanic', personId: kim.id },
      });
      const { name } = (await fleet.manager.get('/v1/fleet')).body;
      const inFleet = { fleet: { id: fleet.fleetId, name }, units: 'us', timeZone: 'America/Denver' };
      const me = await service.client(body.token).get('/v1/me');
      expect(me.headers.get('cache-control')).toBe('no-store');
      expect(me.body).toEqual({
        person: { id: kim.id, name: 'Kim Oduya', badge: 'A-7', language: 'es' },
        sessionId: null,
        ...{ role: 'mechanic', depots: null, ...inFleet, language: 'es' },
      });
      expect((await fleet.manager.get('/v1/me')).body).toEqual({
        ...{ person: null, sessionId: null, role: 'manager', depots: null, ...inFleet, language: 'en' },
      });
      for (const role of ['dashboard', 'driver', 'calendar', 'telematics']) {
        const issued = await fleet.manager.post('/v1/tokens', { name: role, role });
        const answer = await service.client(issued.body.token).get('/v1/me');
        expect([role, answer.status, answer.body.role]).toEqual([role, 200, role]);
      }
      expect((await service.client(null).get('/v1/me')).status).toBe(401);
    });

    it('names the depots of a token that is bound to them', async () => {
      const [ridge, valley] = [await depot('Ridge'), await depot('Basin')];
      await depot('Elsewhere');
      const kim = await added({ depotIds: [ridge, valley] });
      const { body } = await fleet.manager.post('/v1/tokens', {
        ...{ name: 'phone', role: 'mechanic', personId: kim.id, depotIds: [ridge, valley] },
      });
      const me = (await service.client(body.token).get('/v1/me')).body;
      expect(me.depots).toEqual([
        { id: valley, name: 'Basin' },
        { id: ridge, name: 'Ridge' },
      ]);
      expect(me.person.name).toBe('Kim Oduya');
    });
  });
});
