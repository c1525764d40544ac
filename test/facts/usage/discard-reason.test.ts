import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('why a held reading is discarded', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
    vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' })).body.id;
  });
  afterAll(() => service.stop());

  /** Posts a counter that went back, which is held. */
  async function held(): Promise<string> {
    for (const [day, value] of [
      ['01', 50_000],
      ['02', 20_000],
    ])
      await fleet.manager.post('/v1/usage-readings', {
        readings: [{ vehicleId, readAt: `2026-04-${day}T12:00:00Z`, odometer: { value, unit: 'mi' } }],
      });
    const { items } = (await fleet.manager.get('/v1/usage-readings')).body;
    expect(items).toHaveLength(1);
    expect(items[0].decisionReason).toBeNull();
    return items[0].id;
  }
  const discard = (id: string, body?: object) => fleet.manager.post(`/v1/usage-readings/${id}/discard`, body);

  it('is kept with the reading, and shown in the history and in the audit', async () => {
    const id = await held();
    const answer = await discard(id, { reason: '  Typed for the truck beside it. ' });
    expect(answer.status).toBe(200);
    const reason = 'Typed for the truck beside it.';
    expect(answer.body).toMatchObject({ status: 'discarded', decisionReason: reason });
    const history = (await fleet.manager.get(`/v1/vehicles/${vehicleId}/history`)).body.items;
    expect(history.find((item: any) => item.id === id)).toMatchObject({ decisionReason: reason });
    const audit = (await fleet.manager.get('/v1/audit?kind=usage-reading')).body.items;
    expect(audit).toMatchObject([
      { action: 'discarded', changes: { decisionReason: { from: null, to: reason } } },
    ]);
    // Said again, nothing changes.
    expect((await discard(id, { reason: 'Another' })).body.decisionReason).toBe(reason);
  });

  it('need not be said', async () => {
    for (const body of [undefined, {}, { reason: null }, { reason: '' }]) {
      fleet = await service.newFleet();
      vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' })).body.id;
      const answer = await discard(await held(), body);
      expect([answer.status, answer.body.decisionReason ?? null]).toEqual(
        body !== undefined && 'reason' in body && body.reason === '' ? [422, null] : [200, null],
      );
    }
  });

  it('is a text of at most 500 characters', async () => {
    const id = await held();
    for (const reason of ['x'.repeat(501), 7, ['a']]) {
      const answer = await discard(id, { reason });
      expect([answer.status, answer.body.errors?.[0]?.pointer]).toEqual([422, '/reason']);
    }
    expect((await fleet.manager.get('/v1/usage-readings')).body.items).toHaveLength(1);
  });
});
