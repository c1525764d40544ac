import { getDataSourceToken } from '@nestjs/typeorm';
import type { DataSource } from 'typeorm';
import { Defect } from '../../../src/entities/defect.entity.js';
import { narrowDefects } from '../../../src/facts/defects/defects.queries.js';
import { type FleetScope, inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { costOf } from '../../support/plans.js';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { idOf, labelOf, open, sendForm } from '../../support/labels.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T20:00:00Z';
const TOP_UP = { kind: 'top-up', added: { value: 0.8, unit: 'L' }, toMark: true, planned: false };

describe('top-ups reported by the label on a vehicle', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;
  let label: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    ({ vehicleId } = await postScenario(fleet, { unitNumber: 'R-12' }));
    label = service.url + (await labelOf(fleet, vehicleId, 'defects-and-top-ups'));
  });

  const readings = async (): Promise<any[]> =>
    (await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/readings?kind=top-up`)).body.items;
  const alerts = async (): Promise<string[]> =>
    (await fleet.mechanic.get(`/v1/loss-alerts?vehicleId=${vehicleId}`)).body.items.map(
      (item: any) => item.kind,
    );
  async function report(extra: object = {}): Promise<any> {
    const sent = await sendForm(label, {
      ...{ id: idOf(await open(label)), trouble: ['coolant-added'], added: '1' },
      ...extra,
    });
    expect(sent.status).toBe(303);
    return (await fleet.mechanic.get('/v1/defects')).body.items[0];
  }
  const accept = (id: string, body: object = {}) =>
    fleet.mechanic.post(`/v1/defects/${id}/accept-top-up`, body);

  it('are asked for only where the fleet takes them, in the units of the fleet', async () => {
    const page = await open(label);
    expect(page.text).toContain('Coolant or water added');
    expect(page.text.replaceAll(/\s+/g, ' ')).toMatch(/<option value="0.5" > 0\.5 qt <\/option>/);
    await fleet.manager.patch('/v1/fleet', { units: 'si' });
    expect((await open(label)).text).toContain('0.5 L');
    await fleet.manager.patch('/v1/fleet', { driverLabels: 'defects' });
    const without = await open(label);
    expect(without.text).not.toMatch(/Coolant or water added|name="added"/);
    const sent = await sendForm(label, { id: idOf(without), trouble: ['coolant-added'], added: '1' });
    expect(sent.status).toBe(422);
  });

  it('move the loss watch only once a mechanic has accepted them', async () => {
    const takenAt = '2026-03-25T12:00:00Z';
    await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, { ...TOP_UP, takenAt });
    const before = await alerts();
    const defect = await report();
    expect(defect).toMatchObject({
      ...{
        what: 'Coolant or water added: about 1 qt',
        component: 'coolant',
        origin: 'label',
        state: 'reported',
      },
      topUp: { added: { value: 1, unit: 'qt' }, readingId: null },
    });
    expect(await readings()).toHaveLength(1);
    expect(await alerts()).toEqual(before);
    service.clock.moveTo('2026-04-02T21:00:00Z');
    const accepted = await accept(defect.id, { toMark: true });
    expect(accepted.status).toBe(200);
    const [reading, ...others] = await readings();
    expect(others).toHaveLength(1);
    expect(reading).toMatchObject({ id: accepted.body.topUp.readingId, takenAt: '2026-04-02T20:00:00.000Z' });
    // Somebody still has to find out where the coolant went.
    expect(accepted.body).toMatchObject({ state: 'reported', followUps: [{ component: 'coolant' }] });
    expect([before, await alerts()]).toEqual([[], ['repeat-top-ups']]);
    const again = await accept(defect.id);
    expect([again.status, again.body.type]).toEqual([409, '/problems/top-up-counted']);
    expect(await readings()).toHaveLength(2);
    const { url: databaseUrl } = service.database;
    const rebuilt = await rebuildAll({
      databaseUrl,
      schema,
      clock: service.clock,
      fleetIds: [fleet.fleetId],
    });
    expect(rebuilt.differences).toEqual([]);
    service.clock.moveTo(NOW);
  });

  it('of an unknown amount need one to be accepted, and never count when they are dismissed', async () => {
    const defect = await report({ added: '' });
    expect(defect).toMatchObject({ what: 'Coolant or water added', topUp: { added: null, readingId: null } });
    const refused = await accept(defect.id);
    expect([refused.status, refused.body.errors[0].pointer]).toEqual([422, '/added']);
    expect(await readings()).toEqual([]);
    await fleet.mechanic.post(`/v1/defects/${defect.id}/dismiss`, {
      decidedBy: 'badge 7',
      reason: 'was full',
    });
    expect(await readings()).toEqual([]);
    const second = await report({ added: '77' });
    expect(second.topUp).toEqual({ added: null, readingId: null });
    const accepted = await accept(second.id, { added: { value: 0.5, unit: 'gal' }, strengthPercent: 0 });
    expect(accepted.body.topUp.readingId).toBe((await readings())[0].id);
  });

  it('are listed until they are accepted or their report is closed, from an index of their own', async () => {
    const held = async (query = ''): Promise<string[]> => {
      const { status, body } = await fleet.mechanic.get(`/v1/defects?topUp=held${query}`);
      expect(status).toBe(200);
      return body.items.map(({ id }: any) => id);
    };
    const others = { vehicleId, reportedAt: NOW, source: 'driver', what: 'Belt squeals' };
    expect((await fleet.mechanic.post('/v1/defects', others)).status).toBe(201);
    const [first, second, third] = [await report(), await report(), await report()];
    expect((await held()).sort()).toEqual([first.id, second.id, third.id].sort());
    expect(await held('&state=triaged')).toEqual([]);
    const triage = { decidedBy: 'badge 7', component: 'coolant', action: 'inspect', vehicleStays: false };
    await fleet.mechanic.post(`/v1/defects/${first.id}/triage`, triage);
    // Where the coolant went is being looked for; how much it was still counts for nothing.
    expect(await held('&state=triaged')).toEqual([first.id]);
    await accept(first.id);
    await fleet.mechanic.post(`/v1/defects/${second.id}/dismiss`, {
      decidedBy: 'badge 7',
      reason: 'was full',
    });
    expect(await held()).toEqual([third.id]);
    expect((await fleet.mechanic.get('/v1/defects?topUp=counted')).body.errors[0].parameter).toBe('topUp');
    const builder = service.app
      .get<DataSource>(getDataSourceToken())
      .createQueryBuilder(Defect, 'd')
      .where('d.fleetId = :fleetId', { fleetId: fleet.fleetId })
      .orderBy('d.reportedAt', 'DESC')
      .addOrderBy('d.id', 'DESC')
      .limit(51);
    const scope = { fleetId: fleet.fleetId, role: 'mechanic' } as FleetScope;
    inFleet(scope, () => narrowDefects(builder, { topUp: 'held' }));
    const [text, values] = builder.getQueryAndParameters();
    const { admin } = service.database;
    await admin.query('set enable_sort = off');
    const cost = await costOf(admin, fleet.fleetId, { text, values }, 'force_custom_plan');
    await admin.query('reset enable_sort');
    expect([cost.indexes, cost.seqScans, cost.rowsRemoved, cost.rows]).toEqual([
      ['defects_held_top_up_ix'],
      [],
      0,
      1,
    ]);
  });

  it('are nothing that other defects have', async () => {
    const { body } = await fleet.mechanic.post('/v1/defects', {
      ...{ vehicleId, reportedAt: NOW, source: 'driver', what: 'Belt squeals' },
    });
    expect(body.topUp).toBeNull();
    const refused = await accept(body.id, { added: { value: 1, unit: 'L' } });
    expect(refused.status).toBe(422);
    const other = await service.newFleet();
    const defect = await report();
    const theirs = await other.mechanic.post(`/v1/defects/${defect.id}/accept-top-up`, {});
    expect(theirs.status).toBe(404);
  });
});
