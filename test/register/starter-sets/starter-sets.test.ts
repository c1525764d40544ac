import ICAL from 'ical.js';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { dueLineText } from '../../../src/telling/reminders/senders/mail-wording.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { plannedVisits } from '../../support/visit-plans.js';

const SETS = ['petrol-light-truck', 'diesel-heavy', 'bus', 'grader', 'sweeper', 'battery-electric'];
const ALL_STATES = 'late,due,window,not-due,no-baseline';

const codes = (messages: { code: string }[]): string[] => messages.map(({ code }) => code);

describe('ready-made sets', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'si', timeZone: 'America/Denver' });
  });
  afterAll(() => service.stop());

  async function differences(): Promise<unknown[]> {
    const { database, clock } = service;
    const fleetIds = [fleet.fleetId];
    return (await rebuildAll({ databaseUrl: database.url, schema, clock, fleetIds })).differences;
  }

  async function taken(set: string, name?: string) {
    const { status, body } = await fleet.manager.post('/v1/starter-sets', { sets: [{ set, name }] });
    if (status !== 201) throw new Error(`${status} ${JSON.stringify(body)}`);
    return body.items[0];
  }

  async function vehicleWith({ specSheet, intervalPlan }: any): Promise<string> {
    const { status, body } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: `U-${specSheet.name}`.slice(0, 30), specSheetId: specSheet.id },
      ...{ intervalPlanId: intervalPlan.id, inServiceOn: '2025-01-01' },
      ...{ designLowTemperature: { value: -20, unit: 'C' } },
    });
    if (status !== 201) throw new Error(`${status} ${JSON.stringify(body)}`);
    return body.id;
  }

  const linesOf = async (vehicleId: string): Promise<any[]> =>
    (await fleet.dashboard.get(`/v1/due-list?vehicleId=${vehicleId}&state=${ALL_STATES}&limit=100`)).body
      .items;

  const read = async (vehicleId: string, reading: object) => {
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      takenAt: '2026-04-02T12:00:00Z',
      ...reading,
    });
    if (status !== 201) throw new Error(`${status} ${JSON.stringify(body)}`);
    return body.evaluation;
  };
  const HOLD = {
    ...{ kind: 'hold-test', method: 'pressure', minutes: 6, engineCold: true },
    ...{ start: { value: 90, unit: 'kPa' }, end: { value: 89, unit: 'kPa' } },
  };
  const FREEZE = {
    ...{ kind: 'freeze-point', method: 'refractometer', scale: 'ethylene-glycol' },
    value: { value: -37, unit: 'C' },
  };

  it('are listed with what each value rests on, and why, in the reader’s language', async () => {
    const { status, body } = await fleet.manager.get('/v1/starter-sets');
    expect([status, body.items.map(({ set }: any) => set)]).toEqual([200, SETS]);
    for (const { specSheet, values, intervals, leftOut, cautions } of body.items) {
      const given = (spec: any, start: string): string[] =>
        ['coolant', 'holdTest'].flatMap((part) =>
          Object.entries(spec[part] ?? {}).flatMap(([name, value]) =>
            value === null ? [] : [`${start}/${part}/${name}`],
          ),
        );
      const all = [
        ...given(specSheet, ''),
        ...specSheet.otherCircuits.flatMap((other: any, n: number) => given(other, `/otherCircuits/${n}`)),
      ];
      expect(values.map(({ pointer }: any) => pointer).toSorted()).toEqual(all.toSorted());
      for (const { basis, why } of [...values, ...intervals])
        expect([basis.text, why.text]).toEqual([
          expect.stringMatching(/source|memory/),
          expect.stringMatching(/./),
        ]);
      expect(specSheet.fasteners).toEqual([]);
      expect(leftOut.length * cautions.length).toBeGreaterThan(0);
    }
    const spanish = await fleet.manager.get('/v1/starter-sets', { 'accept-language': 'es' });
    expect(spanish.body.items[2].name.text).toBe('Autobús diésel (predefinido)');
    expect(spanish.body.items[2].specSheet.name).toBe('Autobús diésel (predefinido)');
  });

  it.each(SETS)('%s becomes a sheet and a plan that say that they are ready-made', async (set) => {
    const { specSheet, intervalPlan } = await taken(set);
    expect(specSheet.starter).toMatchObject({ set, confirmed: null, note: { code: 'starter-values' } });
    expect(specSheet.starter.unconfirmed).toContain('/coolant/capacity');
    expect(intervalPlan.starter).toMatchObject({ set, confirmed: null, note: { code: 'starter-interval' } });
    expect(intervalPlan.starter.unconfirmed).toHaveLength(intervalPlan.intervals.length);
    expect((await fleet.manager.get(`/v1/spec-sheets/${specSheet.id}`)).body).toEqual(specSheet);
    expect((await fleet.manager.get(`/v1/interval-plans/${intervalPlan.id}`)).body).toEqual(intervalPlan);
    // What was posted is what a manager could have typed.
    const { id: _id, starter: _starter, version: _version, ...typed } = specSheet;
    const copy = await fleet.manager.post('/v1/spec-sheets', { ...typed, name: 'typed' });
    expect([copy.status, copy.body.starter]).toEqual([201, null]);
    const plan = await fleet.manager.post('/v1/interval-plans', {
      ...{ name: 'typed', intervals: intervalPlan.intervals },
    });
    expect([plan.status, plan.body.starter]).toEqual([201, null]);
    expect((await linesOf(await vehicleWith({ specSheet, intervalPlan }))).length).toBeGreaterThan(2);
  });

  it('are taken all or none, and under a name of the fleet’s', async () => {
    await taken('bus', 'City buses');
    const again = await fleet.manager.post('/v1/starter-sets', {
      sets: [{ set: 'grader' }, { set: 'bus', name: 'City buses' }],
    });
    expect([again.status, again.body.type]).toEqual([409, expect.stringMatching(/name-taken$/)]);
    expect(again.body.errors[0].pointer).toBe('/sets/1/name');
    const { body } = await fleet.manager.get('/v1/spec-sheets');
    expect(body.items.map(({ name }: any) => name)).toEqual(['City buses']);
    const none = await fleet.manager.post('/v1/starter-sets', { sets: [{ set: 'lorry' }] });
    expect([none.status, none.body.errors[0].pointer]).toEqual([422, '/sets/0/set']);
  });

  it('mark due lines, verdicts and the job card', async () => {
    const vehicleId = await vehicleWith(await taken('petrol-light-truck'));
    for (const { basis } of await linesOf(vehicleId)) expect(codes(basis)).toEqual(['starter-interval']);
    expect(codes((await read(vehicleId, HOLD)).basis)).toContain('starter-values');
    expect(codes((await read(vehicleId, FREEZE)).basis)).toContain('starter-values');
    const torque = { kind: 'torque-set', fastener: 'pump', unit: 'N.m', values: [11] };
    expect(codes((await read(vehicleId, torque)).basis)).not.toContain('starter-values');
    const path = `/v1/vehicles/${vehicleId}/job-card?lines=water-pump:replace`;
    const card = (await fleet.mechanic.get(path)).body;
    expect(codes(card.missing)).toEqual(
      expect.arrayContaining(['starter-interval', 'starter-values', 'card-no-torque']),
    );
    expect(codes(card.basis)).toEqual(expect.arrayContaining(['starter-interval', 'starter-values']));
    const printed = await fleet.mechanic.get(`${path}&format=html`);
    expect(printed.body).toContain('Some values are from a ready-made spec sheet');
    expect(printed.body).toContain('The interval is from a ready-made plan');
  });

  it('mark the plan of visits, the calendar and e-mails, until a manager confirms the plan', async () => {
    const { specSheet, intervalPlan } = await taken('petrol-light-truck');
    const depot = await fleet.manager.post('/v1/depots', { name: 'Ridge' });
    const vehicleId = await vehicleWith({ specSheet, intervalPlan });
    await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { depotId: depot.body.id });
    const feed = async (): Promise<{ uid: string; sequence: number; description: string }[]> => {
      const { body } = await fleet.manager.get('/v1/due-list.ics');
      const events = new ICAL.Component(ICAL.parse(body)).getAllSubcomponents('vevent');
      return events.map((event) => new ICAL.Event(event));
    };
    const planned = async (): Promise<any[]> => {
      const { visits, leftForLater } = await plannedVisits(service, fleet);
      return [...visits.flatMap(({ lines }: any) => lines), ...leftForLater];
    };
    const mails = async (): Promise<string[]> =>
      (await linesOf(vehicleId)).map((line) => dueLineText(line, { language: 'en', timeZone: 'UTC' }));
    const [due] = (await fleet.manager.get('/v1/due-list')).body.items;
    const booked = await fleet.manager.post('/v1/visits/book', { ids: [due.id], day: '2026-04-06' });
    expect(booked.body.done).toBe(1);
    const before = await feed();
    const isVisit = ({ uid }: { uid: string }) => uid.startsWith('visit.');
    expect(before.filter(isVisit)).toHaveLength(1);
    expect(before.length).toBeGreaterThan(2);
    for (const event of before)
      expect(event.description).toMatch(/common practice, not the vehicle maker’s\.$/);
    const lines = await planned();
    expect(lines.length).toBeGreaterThan(0);
    for (const { basis } of lines) expect(codes(basis)).toEqual(['starter-interval']);
    for (const mail of await mails()) expect(mail).toContain('is common practice, not the vehicle maker’s.');
    expect((await fleet.manager.post(`/v1/interval-plans/${intervalPlan.id}/confirm`)).status).toBe(200);
    const sequenceOf = new Map(before.map(({ uid, sequence }) => [uid, sequence]));
    const after = await feed();
    expect(after).toHaveLength(before.length);
    for (const { uid, sequence, description } of after) {
      expect(description).not.toContain('common practice');
      // A calendar takes over what has a higher number.
      expect(sequence).toBeGreaterThan(sequenceOf.get(uid) ?? Infinity);
    }
    for (const { basis } of await planned()) expect(basis).toEqual([]);
    for (const mail of await mails()) expect(mail).not.toContain('common practice');
  });

  it('lose the mark value by value and interval by interval, as the maker’s figures come in', async () => {
    const { specSheet, intervalPlan } = await taken('petrol-light-truck');
    const vehicleId = await vehicleWith({ specSheet, intervalPlan });
    const sheet = await fleet.manager.patch(`/v1/spec-sheets/${specSheet.id}`, {
      coolant: { base: 'propylene-glycol', strengthMax: 55, capRating: { value: 16, unit: 'psi' } },
    });
    const left = specSheet.starter.unconfirmed.filter(
      (pointer: string) => !/base|strengthMax|capRating/.test(pointer),
    );
    expect(sheet.body.starter.unconfirmed).toEqual(left);
    expect(codes((await read(vehicleId, FREEZE)).basis)).not.toContain('starter-values');
    expect(codes((await read(vehicleId, HOLD)).basis)).toContain('starter-values');
    const intervals = intervalPlan.intervals.map((interval: any, n: number) =>
      n === 0 ? { ...interval, everyMonths: 5 } : { ...interval, grace: { days: 3 } },
    );
    const plan = await fleet.manager.patch(`/v1/interval-plans/${intervalPlan.id}`, { intervals });
    expect(plan.body.starter.unconfirmed).toHaveLength(intervals.length - 1);
    const { component, action } = intervals[0];
    const lines = (await linesOf(vehicleId)).filter(({ origin }) => origin === 'interval');
    for (const line of lines) {
      const isChanged = line.component === component && line.action === action;
      expect([line.component, codes(line.basis)]).toEqual([
        ...[line.component, isChanged ? [] : ['starter-interval']],
      ]);
    }
    expect(await differences()).toEqual([]);
  });

  it('lose the mark when a manager confirms them, which is recorded', async () => {
    const { specSheet, intervalPlan } = await taken('diesel-heavy');
    const vehicleId = await vehicleWith({ specSheet, intervalPlan });
    for (const path of [`/v1/spec-sheets/${specSheet.id}`, `/v1/interval-plans/${intervalPlan.id}`]) {
      const confirmed = await fleet.manager.post(`${path}/confirm`);
      expect(confirmed.status).toBe(200);
      expect(confirmed.headers.get('etag')).toBe('"2"');
      const { by, at } = confirmed.body.starter.confirmed;
      expect([by.kind, at.slice(0, 10)]).toEqual(['token', '2026-04-02']);
      expect(confirmed.body.starter).toMatchObject({ set: 'diesel-heavy', unconfirmed: [], note: null });
      expect((await fleet.manager.post(`${path}/confirm`)).body).toEqual(confirmed.body);
      const id = path.split('/').at(-1);
      const { items } = (await fleet.manager.get(`/v1/audit?id=${id}`)).body;
      const [change, ...others] = items.filter(({ action }: any) => action === 'changed');
      expect(others).toEqual([]);
      expect(change.actor).toMatchObject({ kind: 'token', id: by.id });
      expect(Object.keys(change.changes)).toContain('confirmedAt');
      expect(Object.keys(change.changes)).not.toContain('confirmedBy');
    }
    for (const { basis } of await linesOf(vehicleId)) expect(basis).toEqual([]);
    expect(await differences()).toEqual([]);
    expect(codes((await read(vehicleId, FREEZE)).basis)).not.toContain('starter-values');
    const card = (await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card?lines=coolant:replace`)).body;
    expect(codes(card.missing).filter((code) => code.startsWith('starter'))).toEqual([]);
  });

  it('are nothing to confirm where a manager typed the sheet or the plan', async () => {
    const sheet = await fleet.manager.post('/v1/spec-sheets', {
      ...{ name: 'Own', coolant: { base: 'ethylene-glycol', capacity: { value: 10, unit: 'L' } } },
    });
    const plan = await fleet.manager.post('/v1/interval-plans', {
      ...{ name: 'Own', intervals: [{ component: 'coolant', action: 'replace', everyMonths: 60 }] },
    });
    for (const path of [`/v1/spec-sheets/${sheet.body.id}`, `/v1/interval-plans/${plan.body.id}`]) {
      const { status, body } = await fleet.manager.post(`${path}/confirm`);
      expect([status, body.type]).toEqual([409, expect.stringMatching(/not-ready-made$/)]);
    }
  });

  it('carry the cautions of high voltage on every step beside it', async () => {
    const vehicleId = await vehicleWith(await taken('battery-electric'));
    const card = (await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card?lines=coolant:test`)).body;
    expect(card.cautions[0].code).toBe('caution-high-voltage');
    expect(card.steps[0].step).toBe('isolate');
  });
});
