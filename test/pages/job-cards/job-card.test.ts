import { CAUTIONS } from '../../../src/domain/cautions/cautions.js';
import { ACTIONS, COMPONENTS } from '../../../src/domain/intervals/types.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { pressureTest, vacuumTest } from '../../support/findings-at-once.js';
import { FULL_FAULTS, FULL_LINES, FULL_NOW, postFullVehicle } from '../../support/full-card.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { textsIn } from '../../support/english.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';

/** Messages by their codes, in their order. */
const codesIn = (said: readonly { code: string }[]) => said.map(({ code }) => ({ code }));

const LINES = 'water-pump:replace,coolant:replace';
const BROWSER = 'text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8';

/** The cautions of everything that a job on an engine's own circuit can meet. */
const ON_AN_ENGINE = CAUTIONS['whole-job'].filter(({ code }) => code !== 'caution-high-voltage');

describe('the job card', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService({ at: String(FULL_NOW) });
  });
  beforeEach(async () => {
    service.clock.moveTo(FULL_NOW);
    fleet = await service.newFleet({ units: 'us' });
    scenario = await postScenario(fleet, { make: 'Torvane', model: 'Summit', modelYear: 2021 });
  });
  afterAll(() => service.stop());

  const card = (query: string, headers?: Record<string, string>, by = fleet.dashboard): Promise<Answer> =>
    by.get(`/v1/vehicles/${scenario.vehicleId}/job-card${query}`, headers);
  const cardOf = async (query: string): Promise<any> => {
    const answer = await card(query);
    expect([answer.status, answer.body.detail]).toEqual([200, undefined]);
    return answer.body;
  };
  const quantity = (value: number, unit: string) => ({ value: expect.closeTo(value, 3), unit });

  it('says what to bring for a pump and new coolant, in the fleet’s units', async () => {
    await fleet.manager.post('/v1/usage-readings', {
      readings: [1, 8, 15, 22, 29].map((day, index) => ({
        vehicleId: scenario.vehicleId,
        readAt: `2026-03-${String(day).padStart(2, '0')}T07:00:00-07:00`,
        odometer: { value: 61_000 + index * 280, unit: 'mi' },
      })),
    });
    const body = await cardOf(`?lines=${LINES}`);
    expect(body).toMatchObject({
      asOf: '2026-04-02',
      vehicle: {
        id: scenario.vehicleId,
        unitNumber: 'R-114',
        make: 'Torvane',
        model: 'Summit',
        modelYear: 2021,
        depot: { id: scenario.depotId, name: 'Ridge', elevation: quantity(1500 / 0.3048, 'ft') },
        stale: false,
        lastReadAt: '2026-03-29T14:00:00.000Z',
      },
      specSheet: { id: scenario.specSheetId, name: 'Highland 4.6 petrol', circuitNote: null },
      parts: [{ component: 'water-pump', description: 'pump with gasket', quantity: 1, partNumber: null }],
      belts: [
        { name: 'accessory', designation: '6PK1880', ribs: 6, effectiveLength: quantity(1880 / 25.4, 'in') },
      ],
      beltRouting: { text: expect.stringContaining("vehicle maker's diagram") },
      lastFreezePoint: null,
      missing: [],
      cautions: codesIn(ON_AN_ENGINE.filter(({ code }) => code !== 'caution-cap-rating')),
    });
    // 40 mi a day by the readings; 4.04 days from the last one until now.
    const { value, unit } = body.vehicle.estimatedOdometer;
    expect([unit, Math.round(value)]).toEqual(['mi', Math.round(62_120 + 40 * (4 + 1 / 24))]);
    // 11 N·m is 8.1132 lbf·ft (1 lbf·ft = 1.3558179 N·m, NIST SP 811); ± 10 % from the sheet.
    expect(body.fasteners).toEqual([
      {
        name: 'pump-to-cover',
        count: 9,
        component: 'water-pump',
        torque: quantity(8.1132, 'ft.lbf'),
        min: quantity(7.3019, 'ft.lbf'),
        max: quantity(8.9245, 'ft.lbf'),
        tolerancePercent: 10,
        angle: null,
      },
    ]);
    // By hand: 9.5 L drain and 4.5 L stay; 4.75 L of each, or 9.5 L ready mixed; after a water
    // flush 14 · 0.5 = 7 L and 2.5 L. 1 qt = 0.946352946 L.
    const qt = (litres: number) => quantity(litres / 0.946352946, 'qt');
    expect(body.coolant).toMatchObject({
      base: 'ethylene-glycol',
      technology: 'OAT',
      capacity: qt(14),
      drains: qt(9.5),
      stays: qt(4.5),
      targetStrengthPercent: 50,
      bring: { concentrate: qt(4.75), water: qt(4.75) },
      premix: { volume: qt(9.5), strengthPercent: 50, endsAtPercent: 50 },
      afterWaterFlush: { concentrate: qt(7), water: qt(2.5) },
      adjust: null,
    });
    // U.S. Standard Atmosphere 1976 at 1500 m: 84.55966 kPa = 24.970 inHg; the trade's rule makes
    // 23 inHg of it 19.194.
    expect(body.holdTest).toEqual({
      method: 'vacuum',
      target: quantity(19.194, 'inHg'),
      targetAtSeaLevel: quantity(23, 'inHg'),
      greatestVacuum: quantity(24.97, 'inHg'),
      greatestPressure: null,
      minutes: 5,
      // Choked flow: by the air pressure, as the target.
      allowedLoss: quantity(84.55966 / 101.325, 'inHg'),
    });
    expect(body.proofTest).toBeNull();
    expect(body.boilOver).toMatchObject({ strengthPercent: 50, capRating: quantity(16, 'psi') });
    // Raoult with IF97, own derivation: 50 mass % under 15 psi boils at 126.42 °C at 1500 m. 50
    // volume % (52.7 mass %) under 16 psi: within 3 °C above.
    const boilsC = (body.boilOver.boilsAt.value - 32) / 1.8;
    expect([body.boilOver.boilsAt.unit, boilsC > 126.42, boilsC < 129.42]).toEqual(['F', true, true]);
    expect(body.steps.map(({ step }: any) => step)).toEqual([
      'cool',
      'drain',
      'remove',
      'fit',
      'torque',
      'belt',
      'prepare-fill',
      'hold-test',
      'fill',
      'top-up-to-mark',
      'warm-up',
      'cool-down',
      'read-strength',
      'top-up',
      'road-test',
      'recheck',
    ]);
    expect(textsIn(body.basis).join()).toMatch(/Standard Atmosphere 1976.*Raoult/s);
    expect(JSON.stringify(body)).not.toContain('"measure"');
  });

  it('uses other units on request, in its sentences too', async () => {
    const body = await cardOf(`?lines=${LINES}&units=si`);
    expect(body.holdTest.target).toEqual(quantity(64.9999, 'kPa'));
    expect(body.coolant.bring.concentrate).toEqual({ value: 4.75, unit: 'L' });
    const words = body.steps.map(({ message }: any) => message.text).join();
    expect(words).toContain('4.8 L of concentrate');
    expect(words).not.toMatch(/inHg|qt|\bmi\b/);
  });

  it('covers only the work of its components: a coolant change lists no bolts, belts or parts of the pump', async () => {
    const coolant = await cardOf('?lines=coolant:replace');
    expect([coolant.opens, coolant.fasteners, coolant.belts, coolant.parts]).toEqual(['all', [], [], []]);
    expect(coolant.missing).toEqual([]);
    const page = await card('?lines=coolant:replace&format=html');
    expect(page.body).not.toMatch(/pump-to-cover|Torques/);
    const { body: sheet } = await fleet.dashboard.get(`/v1/spec-sheets/${scenario.specSheetId}`);
    const [{ component, ...unnamed }] = sheet.fasteners;
    expect(component).toBe('water-pump');
    await fleet.manager.patch(`/v1/spec-sheets/${scenario.specSheetId}`, { fasteners: [unnamed] });
    const housing = await card('?lines=thermostat:replace&format=html');
    expect(housing.body).toContain('9 × pump-to-cover (which part?)');
  });

  it('says how much of the coolant comes out, and what to bring for it', async () => {
    const reservoir = await cardOf('?lines=reservoir:replace&units=si');
    // 15 % of the 9.5 L that drain: common practice, no source.
    expect([reservoir.opens, reservoir.coolant.comesOut]).toEqual(['some', { value: 1.425, unit: 'L' }]);
    const filter = await cardOf('?lines=coolant-filter:replace');
    expect([filter.opens, filter.coolant.comesOut, filter.coolant.bring]).toEqual(['none', null, null]);
  });

  it('gives no miles to a machine that counts only engine hours', async () => {
    const { body: loader } = await fleet.manager.post('/v1/vehicles', {
      unitNumber: 'L-7',
      specSheetId: scenario.specSheetId,
    });
    await fleet.manager.post('/v1/usage-readings', {
      readings: [
        {
          vehicleId: loader.id,
          readAt: '2026-03-29T07:00:00-07:00',
          engineHours: { value: 2210, unit: 'h' },
        },
      ],
    });
    const path = `/v1/vehicles/${loader.id}/job-card?lines=${LINES}`;
    const { body } = await fleet.dashboard.get(path);
    expect(body.steps.at(-1).message.text).toMatch(/within 3 days or 4 h$/);
    const page = await fleet.dashboard.get(`${path}&format=html`);
    expect(page.body).not.toMatch(/\bmi\b|>distance<|Odometer/);
    expect(page.body).toContain('<small>Hours</small>');
  });

  it('covers what is due or in its window if no lines are given', async () => {
    const due = await fleet.dashboard.get(`/v1/due-list?vehicleId=${scenario.vehicleId}`);
    const body = await cardOf('');
    const named = (line: any) => [line.component, line.action, line.item];
    expect(due.body.items.length).toBeGreaterThan(0);
    expect(body.lines.map(named)).toEqual(due.body.items.map(named));
    expect(body.lines.flatMap(({ settles }: any) => settles.map(({ id }: any) => id))).toEqual(
      expect.arrayContaining(due.body.items.map(({ id }: any) => id)),
    );
    expect(body.dueAnyway).toEqual([]);
    // The day after a job that did all of it there is nothing left but to recheck the level.
    const job = goodJob(scenario.vehicleId, '2026-04-02T08:00:00-06:00', 61_000);
    expect((await fleet.mechanic.post('/v1/job-reports', job)).status).toBe(201);
    const after = await cardOf('');
    expect(after.lines.map(named)).toEqual([['coolant', 'recheck', null]]);
    expect(after.steps.map(({ step }: any) => step)).toEqual(['cool', 'read-level', 'top-up']);
  });

  it('can be made even if nothing is due', async () => {
    const { body: made } = await fleet.manager.post('/v1/vehicles', { unitNumber: 'NEW' });
    const answer = await fleet.dashboard.get(`/v1/vehicles/${made.id}/job-card`);
    expect([answer.status, answer.body.lines, answer.body.steps]).toEqual([200, [], []]);
    expect(answer.body.cautions).toMatchObject(codesIn(CAUTIONS['whole-job']));
  });

  it('says which due lines the work settles, and what else is due, on mounted units too', async () => {
    const { vehicleId, mountedId } = await postFullVehicle(await fleetAnew());
    const { body } = await fleet.dashboard.get(`/v1/vehicles/${vehicleId}/job-card?lines=${LINES}`);
    const { body: pump } = await fleet.dashboard.get(
      `/v1/due-list?vehicleId=${vehicleId}&component=water-pump`,
    );
    expect(body.lines[0].settles).toEqual([
      { id: pump.items[0].id, state: pump.items[0].state, dueOn: pump.items[0].dueOn, causes: [], basis: [] },
    ]);
    const others = body.dueAnyway.map(
      ({ vehicle, component, action }: any) => `${vehicle.unitNumber} ${component}:${action}`,
    );
    expect(others).toEqual(expect.arrayContaining(['R-114 radiator:clean', 'R-114-AUX drive-belt:inspect']));
    expect(others).not.toContain('R-114 water-pump:replace');
    // On the engine that is mounted the pump is another one.
    expect(others).toContain('R-114-AUX water-pump:replace');
    expect(body.vehicle.carries).toEqual([{ id: mountedId, unitNumber: 'R-114-AUX' }]);
    const mounted = await fleet.dashboard.get(`/v1/vehicles/${mountedId}/job-card?lines=drive-belt:inspect`);
    expect(mounted.body.vehicle.mountedOn).toEqual({ id: vehicleId, unitNumber: 'R-114' });
    expect(mounted.body.dueAnyway.map(({ vehicle }: any) => vehicle.unitNumber)).toContain('R-114');
  });

  async function fleetAnew(): Promise<FleetHandle> {
    fleet = await service.newFleet({ units: 'us' });
    return fleet;
  }

  it('names open loss alerts with what to check, a pressure test to prove the repair, and the last freeze point', async () => {
    const { vehicleId } = await postFullVehicle(await fleetAnew());
    const path = `/v1/vehicles/${vehicleId}/job-card?lines=${LINES}`;
    const { body } = await fleet.dashboard.get(path);
    const { body: alerts } = await fleet.dashboard.get(`/v1/loss-alerts?vehicleId=${vehicleId}`);
    expect(alerts.items.length).toBeGreaterThan(0);
    expect(body.lossAlerts).toEqual(
      alerts.items.map(({ id, kind, status, raisedAt, returned, checkNext }: any) => ({
        ...{ id, kind, status, raisedAt, returned, checkNext },
      })),
    );
    // Common practice, no source: a pressure test is at the cap's rating.
    expect(body.proofTest).toMatchObject({ method: 'pressure', target: quantity(16, 'psi') });
    expect(body.cautions).toMatchObject(codesIn(ON_AN_ENGINE));
    // -29 °C is -20.2 °F; between 40 % (-24.80 °C) and 50 % (-37.00 °C) of ASHRAE's table for
    // ethylene glycol.
    expect(body.lastFreezePoint).toMatchObject({
      takenAt: '2026-03-20T12:00:00.000Z',
      freezePoint: quantity(-20.2, 'F'),
      method: 'refractometer',
      verdict: 'fail',
    });
    const percent = body.lastFreezePoint.strengthVolumePercent;
    expect([percent > 40, percent < 50]).toEqual([true, true]);
    // By hand: what stays is 36.5 - 27 = 9.5 L at that strength; the whole is to hold 18.25 L of
    // glycol. 1 qt = 0.946352946 L.
    const litres = 18.25 - (9.5 * percent) / 100;
    expect(body.coolant.bring.concentrate).toEqual(quantity(litres / 0.946352946, 'qt'));
    for (const { id } of alerts.items)
      await fleet.manager.post(`/v1/loss-alerts/${id}/clear`, { note: 'hose renewed' });
    const { body: cleared } = await fleet.dashboard.get(path);
    expect([cleared.lossAlerts, cleared.proofTest]).toEqual([[], null]);
  });

  it.each([
    ['a failed pressure test', pressureTest(12), 'pressure'],
    [
      'a leak seen at warm-up',
      { kind: 'warm-up-check', heatAtVents: true, temperatureSteady: true, leakSeen: true },
      'pressure',
    ],
    [
      'a leak seen on the road',
      { kind: 'road-test', distance: { value: 12, unit: 'km' }, leakSeen: true },
      'pressure',
    ],
    ['a failed vacuum test', vacuumTest(17), undefined],
    [
      'a warning lamp',
      { kind: 'road-test', distance: { value: 12, unit: 'km' }, warningLamp: true, leakSeen: false },
      undefined,
    ],
  ])('asks for a pressure test as long as one is needed: %s', async (_what, reading, method) => {
    const report = async (day: string, ...readings: Record<string, unknown>[]): Promise<void> => {
      const answer = await fleet.mechanic.post('/v1/job-reports', {
        ...{
          vehicleId: scenario.vehicleId,
          performedAt: `2026-04-0${day}T08:00:00-06:00`,
          releasedForService: 'no',
        },
        ...{ lines: [{ component: 'coolant', action: 'test' }], readings },
      });
      expect([answer.status, answer.body.detail]).toEqual([201, undefined]);
    };
    await report('1', reading);
    for (const work of ['coolant:test', LINES]) {
      const { proofTest, steps } = await cardOf(`?lines=${work}`);
      expect([work, proofTest?.method]).toEqual([work, method]);
      expect(steps.some(({ step }: any) => step === 'proof-test')).toBe(method !== undefined);
    }
    await report('2', pressureTest(16));
    expect((await cardOf('?lines=coolant:test')).proofTest).toBeNull();
  });

  it('lists the faults that the vehicle reports, and those that went away a short while ago', async () => {
    const { vehicleId } = await postFullVehicle(await fleetAnew());
    const seen = (code: string, seenAt: string, more = {}) => ({ vehicleId, code, seenAt, ...more });
    const posted = await fleet.mechanic.post('/v1/faults', {
      faults: [
        ...FULL_FAULTS.map((fault) => ({ vehicleId, ...fault })),
        seen('SPN 111 FMI 17', '2026-04-01T12:00:00Z', { occurrences: 6 }),
        seen('P0420', '2026-04-01T12:00:00Z'),
        // Gone for more than 30 days.
        seen('P0597', '2026-02-20T12:00:00Z'),
        seen('P0597', '2026-03-01T12:00:00Z', { active: false }),
      ],
    });
    expect(posted.status).toBe(201);
    const path = `/v1/vehicles/${vehicleId}/job-card?lines=coolant:inspect`;
    const { body } = await fleet.dashboard.get(path);
    expect(
      body.faults.map(({ code, circuit, meaning, state, lastSeenAt, goneAt, occurrences }: any) => [
        ...[code, circuit, meaning.text, state, lastSeenAt.slice(5, 10), goneAt?.slice(5, 10), occurrences],
      ]),
    ).toEqual([
      ['SPN 111 FMI 17', 'engine', 'The coolant level is getting low', 'active', '04-01', undefined, 6],
      ['SPN 1639 FMI 3', null, 'Electrical fault of the fan', 'gone', '03-28', '03-29', null],
    ]);
    const page = await fleet.mechanic.get(path, { accept: 'text/html' });
    const rows = page.body
      .split('Faults reported: clear the codes after the repair')[1]
      .split('</section>')[0];
    expect(
      rows.match(/<li[^]*?<\/li>/g)!.map((row: string) => row.replaceAll(/<[^>]*>/g, '').trim()),
    ).toEqual([
      'SPN 111 FMI 17: The coolant level is getting low active, April 1, 2026',
      'SPN 1639 FMI 3: Electrical fault of the fan gone March 29, 2026',
    ]);
    // Their codes are not told a second time.
    expect(page.body.split('SPN 111 FMI 17')).toHaveLength(2);
  });

  it('can be made without a spec sheet, a depot or a reading, and says what is missing', async () => {
    const { body: made } = await fleet.manager.post('/v1/vehicles', { unitNumber: 'BARE' });
    const answer = await fleet.dashboard.get(`/v1/vehicles/${made.id}/job-card?lines=${LINES}`);
    expect(answer.status).toBe(200);
    expect(answer.body).toMatchObject({
      vehicle: { depot: null, estimatedOdometer: null, lastReadAt: null, stale: true },
      specSheet: null,
      coolant: null,
      holdTest: null,
      boilOver: null,
      fasteners: [],
    });
    expect(textsIn(answer.body.missing).join()).toMatch(/no spec sheet.*No elevation is known/s);
    expect(answer.body.steps.length).toBeGreaterThan(0);
  });

  it('allows for the place where the work is done', async () => {
    const depot = await fleet.manager.post('/v1/depots', {
      name: 'Shore',
      elevation: { value: 0, unit: 'm' },
    });
    const body = await cardOf(`?lines=coolant:replace&workedAtDepotId=${depot.body.id}`);
    expect(body.vehicle.depot).toEqual({
      id: depot.body.id,
      name: 'Shore',
      elevation: { value: 0, unit: 'ft' },
    });
    expect(body.holdTest.target).toEqual(quantity(23, 'inHg'));
    const other = await card('?workedAtDepotId=00000000-0000-7000-8000-000000000000');
    expect([other.status, other.body.errors]).toEqual([
      400,
      [
        {
          ...{ parameter: 'workedAtDepotId', code: 'no-such-record', values: { what: 'depot' } },
          detail: 'There is no such depot in this fleet.',
        },
      ],
    ]);
  });

  it.each([
    ['pump:replace', /"pump" where a component is needed: one of coolant, water-pump/],
    ['water-pump:fix', /"fix" where an action is needed: one of inspect, test/],
    ['water-pump', /lacks the action after water-pump: one of inspect/],
    ['water-pump:', /lacks the action after water-pump: one of inspect/],
    ['', /blank/],
    [',', /nothing where a component is needed/],
    ['water-pump:replace,', /nothing where a component is needed/],
    ['water-pump:replace,water-pump:replace', /names water-pump:replace twice/],
    ['drive-belt:replace:', /item of 0 characters/],
    [`drive-belt:replace:${'x'.repeat(81)}`, /item of 81 characters/],
    ['drive-belt:replace:fan', /the belt "fan", which is not on the spec sheet; it has accessory/],
    [
      Array.from({ length: 25 }, (_, i) => `other:inspect:${i}`).join(','),
      /holds 25 lines; a card takes at most 24/,
    ],
    ['__proto__:replace', /"__proto__" where a component is needed/],
    ['water-pump:constructor', /"constructor" where an action is needed/],
  ])('refuses lines=%s', async (lines, detail) => {
    const refused = await card(`?lines=${encodeURIComponent(lines)}`);
    expect([refused.status, refused.body.errors]).toEqual([
      400,
      [
        {
          ...{ parameter: 'lines', code: expect.any(String), values: expect.any(Object) },
          detail: expect.stringMatching(detail),
        },
      ],
    ]);
    expect(refused.headers.get('content-type')).toContain('application/problem+json');
  });

  it('lists every accepted word if one is unknown', async () => {
    const { body: component } = await card('?lines=pump:replace');
    for (const word of COMPONENTS) expect(component.detail).toContain(word);
    const { body: action } = await card('?lines=water-pump:fix');
    for (const word of ACTIONS) expect(action.detail).toContain(word);
  });

  it('accepts blanks around lines, and commas and colons in an item’s name', async () => {
    const body = await cardOf(
      `?lines=${encodeURIComponent('water-pump:replace, upper-hose:replace:rear: long, left,coolant:flush')}`,
    );
    expect(body.lines.map(({ component, action, item }: any) => [component, action, item])).toEqual([
      ['water-pump', 'replace', null],
      ['upper-hose', 'replace', 'rear: long, left'],
      ['coolant', 'flush', null],
    ]);
    expect(body.coolant.premix).toBeNull();
  });

  it.each([
    [undefined, '', 'application/json'],
    ['application/json', '', 'application/json'],
    ['*/*', '', 'application/json'],
    [BROWSER, '', 'text/html'],
    ['text/html', '', 'text/html'],
    ['text/*', '', 'text/html'],
    ['application/json;q=0.5, text/html;q=0.9', '', 'text/html'],
    ['text/html;q=0, */*', '', 'application/json'],
    ['TEXT/HTML', '', 'text/html'],
    ['text/html', '&format=json', 'application/json'],
    ['application/json', '&format=html', 'text/html'],
    ['image/png', '&format=html', 'text/html'],
  ])('for Accept: %s%s is %s', async (accept, query, type) => {
    const answer = await card(`?lines=${LINES}${query}`, accept === undefined ? {} : { accept });
    expect([answer.status, answer.headers.get('content-type')?.split(';')[0]]).toEqual([200, type]);
    expect(answer.headers.get('vary')).toMatch(/^(Origin, )?Accept, Accept-Language\b/);
  });

  it.each(['image/png', 'application/xml', 'text/html;q=0', 'text/plain, application/pdf'])(
    'is not available as %s',
    async (accept) => {
      const refused = await card(`?lines=${LINES}`, { accept });
      expect([refused.status, refused.body.type]).toEqual([406, '/problems/not-acceptable']);
      expect(refused.body.detail).toContain('application/json or text/html');
    },
  );

  it('refuses an unknown format', async () => {
    const refused = await card('?format=pdf');
    expect([refused.status, refused.body.errors[0].parameter]).toEqual([400, 'format']);
  });

  it('is a page that loads nothing and runs nothing', async () => {
    const page = await card(`?lines=${LINES}`, { accept: BROWSER });
    expect(page.headers.get('content-security-policy')).toMatch(
      /^default-src 'none'; style-src 'sha256-[\w+/]{43}='; base-uri 'none'; form-action 'none'; frame-ancestors 'none'$/,
    );
    expect(page.headers.get('x-content-type-options')).toBe('nosniff');
    expect(page.headers.get('referrer-policy')).toBe('no-referrer');
    expect(page.headers.get('cache-control')).toBe('no-store');
    expect(page.body).toMatch(/^<!doctype html>/);
    expect(page.body).not.toMatch(/<script|<link|<img|@import|url\(|\bon\w+=|style="|https?:/i);
    for (const text of ['R-114', '19 inHg', '9 × pump-to-cover', '8.1 lbf·ft ±10 %', '6PK1880'])
      expect(page.body).toContain(text);
    expect(page.body.match(/<input type="checkbox"/g)?.length).toBeGreaterThan(10);
    const si = await card(`?lines=${LINES}&units=si`, { accept: BROWSER });
    expect(si.body).toContain('11 N·m ±10 %');
  });

  it('escapes the names that people gave', async () => {
    const evil = '<b onclick="x()">&\'\u202egpj';
    const { body: sheet } = await fleet.manager.post('/v1/spec-sheets', {
      name: evil,
      coolant: { base: 'ethylene-glycol', capacity: { value: 10, unit: 'L' } },
      fasteners: [{ name: evil, count: 1, torque: { value: 5, unit: 'N.m' }, angle: evil }],
      belts: [{ name: evil, designation: evil }],
      parts: [{ component: 'water-pump', description: evil, partNumber: evil }],
    });
    const { body: made } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: evil, make: evil, model: evil, specSheetId: sheet.id },
    });
    const page = await fleet.dashboard.get(
      `/v1/vehicles/${made.id}/job-card?lines=${encodeURIComponent(`water-pump:replace,upper-hose:replace:${evil}`)}`,
      { accept: BROWSER },
    );
    expect(page.status).toBe(200);
    expect(page.body).not.toContain('<b onclick');
    expect(page.body).not.toContain('\u202e');
    expect(page.body.split('&lt;b onclick=&quot;x()&quot;&gt;&amp;&#39; gpj').length).toBeGreaterThan(8);
  });

  it('is read by every role that reads, and by no one else', async () => {
    for (const reader of [fleet.manager, fleet.mechanic, fleet.dashboard])
      expect((await card(`?lines=${LINES}`, {}, reader)).status).toBe(200);
    expect((await card('', {}, service.client(null))).status).toBe(401);
    const other = await service.newFleet();
    expect((await card('', {}, other.manager)).status).toBe(404);
    expect((await fleet.dashboard.get('/v1/vehicles/none/job-card')).status).toBe(404);
    expect((await card('?odometer=1')).status).toBe(400);
    expect((await card('?units=furlong')).status).toBe(400);
  });

  it('is read in eight statements, however long it is', async () => {
    const { vehicleId } = await postFullVehicle(await fleetAnew());
    const heard: string[] = [];
    const listen = (text: string) => void heard.push(text);
    statementListeners.add(listen);
    try {
      const answer = await fleet.dashboard.get(
        `/v1/vehicles/${vehicleId}/job-card?lines=${encodeURIComponent(FULL_LINES)}`,
      );
      expect(answer.status).toBe(200);
    } finally {
      statementListeners.delete(listen);
    }
    // Who holds the token is asked on connections of their own.
    expect(heard).toHaveLength(8);
  });
});
