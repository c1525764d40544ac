import { v7 as uuidv7 } from 'uuid';
import { textsIn } from '../../support/english.js';
import { postScenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const NOW = '2026-04-02T15:00:00Z';

describe('loss alerts', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet({ units: 'us' });
    ({ vehicleId } = await postScenario(fleet));
  });
  afterAll(() => service.stop());

  async function topUp(takenAt: string, addedL: number): Promise<void> {
    const posted = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      kind: 'top-up',
      takenAt,
      added: { value: addedL, unit: 'L' },
      toMark: true,
      strengthPercent: 50,
      planned: false,
    });
    expect([posted.status, posted.body]).toEqual([201, expect.anything()]);
  }

  /**
   * Two unplanned top-ups within a month, together more than 5 % of the 14 L (common practice, no
   * source).
   */
  async function raise(): Promise<string> {
    await topUp('2026-03-01T12:00:00Z', 0.4);
    await topUp('2026-03-13T12:00:00Z', 0.4);
    const { body } = await fleet.dashboard.get('/v1/loss-alerts');
    expect(body.items.map((alert: any) => alert.kind)).toEqual(['repeat-top-ups']);
    return body.items[0].id;
  }

  const act = (id: string, what: string, body?: unknown, by = fleet.manager): Promise<Answer> =>
    by.post(`/v1/loss-alerts/${id}/${what}`, body);

  it("show their evidence in the reader's units, what to check next and the cautions", async () => {
    const id = await raise();
    const { body: depot } = await fleet.dashboard.get('/v1/depots');
    const alert = await fleet.dashboard.get(`/v1/loss-alerts/${id}`);
    expect(alert.status).toBe(200);
    expect(alert.body).toMatchObject({
      id,
      kind: 'repeat-top-ups',
      status: 'raised',
      vehicle: { id: vehicleId, unitNumber: 'R-114', depotId: depot.items[0].id },
      members: [],
      raisedAt: '2026-03-13T12:00:00.000Z',
      clearedAt: null,
      clearedBy: null,
      shelvedUntil: null,
      returned: false,
      standing: true,
      actions: [],
    });
    expect(alert.body.evidence).toHaveLength(2);
    expect(alert.body.checkNext.length).toBeGreaterThan(0);
    expect(alert.body.cautions.length).toBeGreaterThan(0);
    // 1 US quart = 0.946352946 L (NIST SP 811): 0.4 L is 0.4226752838 qt, read to the half.
    const shown = JSON.stringify(alert.body);
    expect(shown).toContain('{"value":0.4226752838,"unit":"qt"}');
    expect(shown).not.toContain('"measure"');
    const si = await fleet.dashboard.get(`/v1/loss-alerts/${id}?units=si`);
    expect(JSON.stringify(si.body)).toContain('{"value":0.4,"unit":"L"}');
    const texts = (body: any) => textsIn(body.evidence.map((entry: any) => entry.message));
    expect(texts(alert.body)).toContain('0.5 qt added, not planned, up to the mark.');
    expect(texts(si.body)).toContain('0.4 L added, not planned, up to the mark.');
    expect(textsIn(alert.body.checkNext)[0]).toBe('Radiator cap and its seat.');
    expect(textsIn(alert.body.cautions)[0]).toMatch(/^A passed vacuum test does not show/);
    const es = await fleet.dashboard.get(`/v1/loss-alerts/${id}`, { 'accept-language': 'es' });
    expect(texts(es.body)).toContain('Relleno de 0.5 qt, no planeado, hasta la marca.');
    const list = await fleet.dashboard.get('/v1/loss-alerts');
    expect(texts(list.body.items[0])).toEqual(texts(alert.body));
  });

  it('can be acknowledged by a mechanic, with a note or without a body', async () => {
    const id = await raise();
    const answered = await act(id, 'acknowledge', undefined, fleet.mechanic);
    expect(answered.status).toBe(200);
    expect(answered.body).toMatchObject({ id, status: 'acknowledged' });
    expect(answered.body.actions).toEqual([
      {
        id: expect.any(String),
        at: '2026-04-02T15:00:00.000Z',
        action: 'acknowledge',
        until: null,
        note: null,
      },
    ]);
    const again = await act(id, 'acknowledge', { note: 'mine' });
    expect([again.status, again.body.detail]).toEqual([409, expect.stringContaining('acknowledged already')]);
    const listed = await fleet.dashboard.get('/v1/loss-alerts?status=acknowledged');
    expect(listed.body.items.map((alert: any) => alert.id)).toEqual([id]);
  });

  it('can be shelved until a time, and then show as raised without any write', async () => {
    const id = await raise();
    const shelved = await act(
      id,
      'shelve',
      { until: '2026-04-05T09:00:00-06:00', note: 'parts on order' },
      fleet.mechanic,
    );
    expect(shelved.body).toMatchObject({ status: 'shelved', shelvedUntil: '2026-04-05T15:00:00.000Z' });
    const idsOf = async (status: string): Promise<string[]> =>
      (await fleet.dashboard.get(`/v1/loss-alerts?status=${status}`)).body.items.map(
        (alert: any) => alert.id,
      );
    expect([await idsOf('shelved'), await idsOf('raised')]).toEqual([[id], []]);
    service.clock.moveTo('2026-04-05T14:59:59Z');
    expect((await fleet.dashboard.get(`/v1/loss-alerts/${id}`)).body.status).toBe('shelved');
    service.clock.moveTo('2026-04-05T15:00:00Z');
    expect((await fleet.dashboard.get(`/v1/loss-alerts/${id}`)).body).toMatchObject({
      status: 'raised',
      shelvedUntil: null,
    });
    expect([await idsOf('shelved'), await idsOf('raised')]).toEqual([[], [id]]);
    expect((await act(id, 'acknowledge', {}, fleet.mechanic)).body.status).toBe('acknowledged');
  });

  it('can be shelved for longer, taken off the shelf by acknowledging, and shelved again', async () => {
    const id = await raise();
    await act(id, 'shelve', { until: '2026-04-03T00:00:00Z' });
    const longer = await act(id, 'shelve', { until: '2026-04-09T00:00:00Z' });
    expect(longer.body.shelvedUntil).toBe('2026-04-09T00:00:00.000Z');
    service.clock.moveTo('2026-04-02T16:00:00Z');
    expect((await act(id, 'acknowledge')).body).toMatchObject({ status: 'acknowledged', shelvedUntil: null });
    service.clock.moveTo('2026-04-02T17:00:00Z');
    const again = await act(id, 'shelve', { until: '2026-04-09T00:00:00Z' });
    expect(again.body.status).toBe('shelved');
    expect(again.body.actions.map((action: any) => action.action)).toEqual([
      'shelve',
      'acknowledge',
      'shelve',
      'shelve',
    ]);
  });

  it.each([
    [{ until: '2026-04-02T14:59:00Z' }, '/until', 'is past'],
    [{ until: NOW }, '/until', 'is past'],
    [{ until: '2026-07-01T15:00:01Z' }, '/until', 'more than 90 days'],
    [{ until: '2026-04-05T09:00:00' }, '/until', 'lacks the offset'],
    [{ until: '2026-04-05' }, '/until', 'a time such as'],
    [{}, '/until', 'is required'],
    [{ until: '2026-04-05T09:00:00Z', note: 7 }, '/note', 'text is needed'],
  ])('cannot be shelved by %j', async (body, pointer, because) => {
    const id = await raise();
    const refused = await act(id, 'shelve', body);
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([{ pointer, detail: expect.stringContaining(because) }]);
    expect((await fleet.dashboard.get(`/v1/loss-alerts/${id}`)).body).toMatchObject({
      status: 'raised',
      actions: [],
    });
  });

  it('can be shelved for exactly 90 days at most', async () => {
    const id = await raise();
    // 2 April and 90 days is 1 July.
    expect((await act(id, 'shelve', { until: '2026-07-01T15:00:00Z' })).status).toBe(200);
  });

  it('can be cleared by a manager who says why, and are then closed for good', async () => {
    const id = await raise();
    expect((await act(id, 'clear', { note: 'no' }, fleet.mechanic)).status).toBe(403);
    expect((await act(id, 'acknowledge', {}, fleet.dashboard)).status).toBe(403);
    expect(inText((await act(id, 'clear', {})).body.errors)).toEqual([
      { pointer: '/note', detail: 'is required' },
    ]);
    const cleared = await act(id, 'clear', { note: 'clamp tightened, cold level held for a week' });
    expect(cleared.body).toMatchObject({
      status: 'cleared',
      clearedAt: '2026-04-02T15:00:00.000Z',
      clearedBy: 'manager',
    });
    for (const [what, body] of [
      ['acknowledge', {}],
      ['shelve', { until: '2026-04-05T09:00:00Z' }],
      ['clear', { note: 'again' }],
    ] as const) {
      const refused = await act(id, what, body);
      expect([refused.status, refused.body.detail]).toEqual([
        409,
        expect.stringContaining('was cleared at 2026-04-02T15:00:00.000Z'),
      ]);
    }
    expect((await fleet.dashboard.get('/v1/loss-alerts')).body.items).toEqual([]);
    const listed = await fleet.dashboard.get('/v1/loss-alerts?status=cleared');
    expect(listed.body.items.map((alert: any) => alert.id)).toEqual([id]);
  });

  it('act once for one Idempotency-Key, with the same answer', async () => {
    const id = await raise();
    const send = (): Promise<Answer> =>
      fleet.mechanic.post(`/v1/loss-alerts/${id}/acknowledge`, {}, { 'idempotency-key': 'ack-1' });
    const first = await send();
    const second = await send();
    expect([second.status, second.body]).toEqual([200, first.body]);
    expect(first.body.actions).toHaveLength(1);
  });

  it('are listed newest first, filtered and page by page, each once', async () => {
    const add = async (raisedAt: string, more: Record<string, unknown> = {}): Promise<string> => {
      const id = uuidv7();
      const row = {
        fleet_id: fleet.fleetId,
        id,
        vehicle_id: vehicleId,
        key: `k:${id}`,
        kind: 'rising-loss',
        status: 'raised',
        raised_at: raisedAt,
        evidence: '[]',
        computed: '{}',
        check_next: '[]',
        cautions: '[]',
        ...more,
      };
      const columns = Object.keys(row);
      await service.database.admin.query(
        `insert into loss_alerts (${columns.join(', ')}) values (${columns.map((_, n) => `$${n + 1}`).join(', ')})`,
        Object.values(row),
      );
      return id;
    };
    const same = '2026-03-01T00:00:00Z';
    const [a, b] = [await add(same), await add(same)];
    const c = await add('2026-03-02T00:00:00Z', { kind: 'weakening-hold' });
    const parts = await add('2026-02-01T00:00:00Z', {
      kind: 'part-cohort',
      vehicle_id: null,
      members: JSON.stringify([vehicleId]),
    });
    const cleared = await add('2026-03-03T00:00:00Z', { status: 'cleared', cleared_at: same });
    await add('2026-03-04T00:00:00Z', { is_standing: false });
    const seen: string[] = [];
    for (let cursor: string | null = ''; cursor !== null;) {
      const { body }: { body: any } = await fleet.dashboard.get(
        `/v1/loss-alerts?limit=1${cursor && `&cursor=${cursor}`}`,
      );
      seen.push(...body.items.map((alert: any) => alert.id));
      cursor = body.next;
    }
    expect(seen).toEqual([c, ...[a, b].sort().reverse(), parts]);
    const idsOf = async (query: string): Promise<string[]> =>
      (await fleet.dashboard.get(`/v1/loss-alerts?${query}`)).body.items.map((alert: any) => alert.id);
    expect(await idsOf('kind=weakening-hold')).toEqual([c]);
    expect(await idsOf('status=cleared')).toEqual([cleared]);
    expect(await idsOf(`vehicleId=${vehicleId}&kind=part-cohort`)).toEqual([]);
    expect(await idsOf(`vehicleId=${vehicleId}`)).toHaveLength(3);
    expect((await fleet.dashboard.get('/v1/loss-alerts?status=open')).status).toBe(400);
    const page = await fleet.dashboard.get('/v1/loss-alerts?limit=1');
    const elsewhere = await fleet.dashboard.get(`/v1/loss-alerts?kind=rising-loss&cursor=${page.body.next}`);
    expect(elsewhere.status).toBe(400);

    const lot = await act(parts, 'acknowledge', { note: 'asked the supplier' });
    expect(lot.body).toMatchObject({ status: 'acknowledged', vehicle: null, members: [vehicleId] });
    const until = '2026-05-01T00:00:00.000Z';
    expect((await act(parts, 'shelve', { until })).body).toMatchObject({
      status: 'shelved',
      shelvedUntil: until,
    });
    expect((await act(parts, 'clear', { note: 'lot taken out' })).body).toMatchObject({
      status: 'cleared',
      clearedAt: new Date(NOW).toISOString(),
      clearedBy: 'manager',
      shelvedUntil: null,
    });
  });

  it('cannot be acted on if their facts were voided, and the answer says so', async () => {
    const id = await raise();
    await service.database.admin.query('update loss_alerts set is_standing = false where id = $1', [id]);
    expect((await fleet.dashboard.get(`/v1/loss-alerts/${id}`)).body.standing).toBe(false);
    const refused = await act(id, 'acknowledge');
    expect([refused.status, refused.body.detail]).toEqual([409, expect.stringContaining('were voided')]);
  });

  it('are not found in another fleet', async () => {
    const id = await raise();
    const other = await service.newFleet();
    expect((await other.manager.get(`/v1/loss-alerts/${id}`)).status).toBe(404);
    expect((await act(id, 'acknowledge', {}, other.manager)).status).toBe(404);
    expect((await act(uuidv7(), 'clear', { note: 'x' })).status).toBe(404);
    expect((await fleet.dashboard.get('/v1/loss-alerts/not-an-id')).status).toBe(404);
  });
});
