import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { SPEC_SHEET } from '../../support/scenario.js';
import { textsIn } from '../../support/english.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const NOW = '2026-06-01T12:00:00Z';
const unit = (name: string) => (value: number) => ({ value, unit: name });
const [km, litres, gallons] = [unit('km'), unit('L'), unit('gal')];
const [celsius, fahrenheit] = [unit('C'), unit('F')];

describe('road tests, levels by their marks and coolant chemistry, over real HTTP', () => {
  let service: Service;
  let fleet: FleetHandle;
  let count = 0;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
  });
  afterAll(() => service.stop());

  const postSheet = (coolant: object) =>
    fleet.manager.post('/v1/spec-sheets', {
      ...SPEC_SHEET,
      name: `Sheet ${++count}`,
      coolant: { ...SPEC_SHEET.coolant, ...coolant },
    });

  async function vehicleOf(coolant: object): Promise<string> {
    const { status, body: sheet } = await postSheet(coolant);
    expect([status, sheet]).toEqual([201, expect.anything()]);
    const { body } = await fleet.manager.post('/v1/vehicles', {
      unitNumber: `H-${++count}`,
      specSheetId: sheet.id,
    });
    return body.id;
  }

  const post = (vehicleId: string, reading: object) =>
    fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      takenAt: '2026-05-01T12:00:00Z',
      ...reading,
    });

  async function judged(vehicleId: string, reading: object): Promise<any> {
    const { status, body } = await post(vehicleId, reading);
    expect([status, body]).toEqual([201, expect.anything()]);
    return body.evaluation;
  }

  describe('a road test', () => {
    const drive = (reached: object, more: object = {}) => ({
      ...{ kind: 'road-test', minutes: 20, distance: km(15), highestCoolantTemperature: reached },
      ...{ warningLamp: false, leakSeen: false, ...more },
    });
    const temperatures = { thermostatOpens: fahrenheit(195), highTemperatureAlarm: fahrenheit(235) };

    it("has four outcomes by the sheet's temperatures", async () => {
      const vehicleId = await vehicleOf(temperatures);
      expect((await judged(vehicleId, drive(celsius(60)))).computed.findings).toEqual(['stuck-open']);
      expect((await judged(vehicleId, drive(fahrenheit(205)))).verdict).toBe('pass');
      expect((await judged(vehicleId, drive(fahrenheit(235)))).computed.findings).toEqual(['overheated']);
      expect((await judged(vehicleId, drive(fahrenheit(205), { minutes: 10 }))).verdict).toBe('inconclusive');
    });

    it('fails from 10 K below boiling without them, and is inconclusive further below', async () => {
      const vehicleId = await vehicleOf({});
      expect((await judged(vehicleId, drive(celsius(125)))).verdict).toBe('fail');
      expect((await judged(vehicleId, drive(celsius(95)))).verdict).toBe('inconclusive');
    });

    it('shows the temperatures of the sheet in the reader’s units', async () => {
      const { body } = await postSheet(temperatures);
      expect(body.coolant.thermostatOpens).toEqual({ value: 195, unit: 'F' });
      const si = await fleet.manager.get(`/v1/spec-sheets/${body.id}?units=si`);
      expect(si.body.coolant.highTemperatureAlarm.value).toBeCloseTo(112.78, 2);
    });

    it.each([
      [{ thermostatOpens: celsius(195) }, '/coolant/thermostatOpens', /was it 195 °F/],
      [{ highTemperatureAlarm: celsius(235) }, '/coolant/highTemperatureAlarm', /was it 235 °F/],
      [
        { thermostatOpens: celsius(95), highTemperatureAlarm: celsius(90) },
        '/coolant/highTemperatureAlarm',
        /^is 90 °C, not above where the thermostat opens, 95 °C/,
      ],
      [
        { litresMinToMax: litres(14) },
        '/coolant/litresMinToMax',
        /^is 14 L, as much as the 14 L that the whole system holds/,
      ],
      [
        { additive: { amount: litres(1), treats: litres(10) } },
        '/coolant/additive',
        /does not say what it raises/,
      ],
      [
        { condition: { molybdateMinMgPerL: 500, molybdateMaxMgPerL: 300 } },
        '/coolant/condition/molybdateMinMgPerL',
        /above molybdateMaxMgPerL/,
      ],
    ])('refuses a sheet with %j', async (coolant, pointer, detail) => {
      const { status, body } = await postSheet(coolant);
      expect([status, inText(body.errors)]).toEqual([
        422,
        [{ pointer, detail: expect.stringMatching(detail) }],
      ]);
    });
  });

  describe('a level by its marks', () => {
    const level = (word: string, more: object = {}) => ({ kind: 'level-check', level: word, ...more });

    it.each([
      ['below-min', 'fail'],
      ['between', 'pass'],
      ['at-max', 'pass'],
      ['above-max', 'inconclusive'],
    ])('%s is %s, cold and hot', async (word, verdict) => {
      const vehicleId = await vehicleOf({});
      for (const engineCold of [true, false])
        expect((await judged(vehicleId, level(word, { engineCold }))).verdict).toBe(verdict);
    });

    it('is refused if it contradicts the litres beside it, or if neither is given', async () => {
      const vehicleId = await vehicleOf({ litresMinToMax: litres(1) });
      const refused = await post(vehicleId, level('above-max', { belowMark: litres(0.6) }));
      expect(refused.status).toBe(422);
      expect(inText(refused.body.errors)).toEqual([
        {
          pointer: '/level',
          detail: expect.stringMatching(/is above-max, but belowMark.*That fits between/),
        },
      ]);
      const neither = await post(vehicleId, { kind: 'level-check', engineCold: true });
      expect([neither.status, neither.body.errors[0].pointer]).toEqual([422, '/level']);
      const both = level('between', { belowMark: litres(0.6), engineCold: true });
      expect((await judged(vehicleId, both)).verdict).toBe('pass');
    });

    it('counts for the loss watch by the amount between the marks, even if the sheet gives it later', async () => {
      const vehicleId = await vehicleOf({});
      const at = (day: string, odometer: number) => ({
        takenAt: `2026-${day}T12:00:00Z`,
        odometer: km(odometer),
      });
      await judged(vehicleId, level('at-max', { engineCold: true, ...at('04-01', 10_000) }));
      await judged(vehicleId, level('between', { engineCold: true, ...at('04-05', 10_400) }));
      await judged(vehicleId, level('below-min', { engineCold: false, ...at('04-10', 10_900) }));
      const alerts = async () =>
        (await fleet.dashboard.get(`/v1/loss-alerts?vehicleId=${vehicleId}`)).body.items;
      expect(await alerts()).toEqual([]);
      const vehicle = await fleet.manager.get(`/v1/vehicles/${vehicleId}`);
      const sheet = await fleet.manager.get(`/v1/spec-sheets/${vehicle.body.specSheetId}`);
      const patched = await fleet.manager.patch(`/v1/spec-sheets/${sheet.body.id}`, {
        coolant: { litresMinToMax: litres(1.6) },
      });
      expect([patched.status, patched.body.coolant?.litresMinToMax.unit]).toEqual([200, 'qt']);
      expect(await alerts()).toMatchObject([{ kind: 'repeat-top-ups', status: 'raised' }]);
      const rebuilt = await rebuildAll({ databaseUrl: service.database.url, schema, clock: service.clock });
      expect(rebuilt.differences).toEqual([]);
    });
  });

  describe('coolant chemistry', () => {
    const condition = (values: object) => ({ kind: 'coolant-condition', ...values });
    const bottle = {
      ...{ product: 'liquid SCA', amount: { value: 1, unit: 'pt' }, treats: gallons(1) },
      raisesScaUnitsPerGallon: 10,
    };

    it('judges nitrite for NOAT and names cavitation', async () => {
      const vehicleId = await vehicleOf({ technology: 'NOAT' });
      const found = await judged(vehicleId, condition({ nitriteMgPerL: 120, molybdateMgPerL: 40 }));
      expect(found).toMatchObject({ verdict: 'fail', computed: { findings: ['nitrite-low'] } });
      expect(found.reasons[0].text).toMatch(/cavitation/);
    });

    it('judges wet liners by the sheet, and fails any pH below 7', async () => {
      const lined = await vehicleOf({ technology: 'IAT', condition: { wetLiners: true } });
      expect((await judged(lined, condition({ nitriteMgPerL: 500 }))).verdict).toBe('fail');
      const light = await vehicleOf({ technology: 'OAT', condition: { heavyDuty: false } });
      expect((await judged(light, condition({ pH: 6.8 }))).verdict).toBe('fail');
    });

    it("uses the day in the fleet's zone for the expiry of a strip", async () => {
      const vehicleId = await vehicleOf({ technology: 'NOAT' });
      const read = (takenAt: string) =>
        judged(vehicleId, {
          ...condition({ nitriteMgPerL: 120, strip: { kind: 'nitrite', expiresOn: '2026-04-30' } }),
          takenAt,
        });
      // 23:00 on 30 April in Denver.
      expect((await read('2026-05-01T05:00:00Z')).verdict).toBe('fail');
      expect((await read('2026-05-01T07:00:00Z')).verdict).toBe('inconclusive');
    });

    it('accepts a laboratory report with its values, but not together with a strip', async () => {
      const vehicleId = await vehicleOf({ technology: 'NOAT' });
      const laboratory = {
        ...{ laboratory: 'County laboratory', reportNumber: 'A-17', sampledOn: '2026-04-20' },
        values: [
          { name: 'Nitrite', value: 450, unit: 'mg/L' },
          { name: 'Chloride', value: 310, unit: 'mg/L', max: 200 },
        ],
      };
      const { status, body } = await post(vehicleId, condition({ laboratory }));
      expect([status, body.laboratory]).toEqual([201, laboratory]);
      expect(body.evaluation.computed.findings).toEqual(['laboratory-limit']);
      const twice = await post(vehicleId, condition({ laboratory, strip: { kind: 'nitrite' } }));
      expect([twice.status, twice.body.errors[0].pointer]).toEqual([422, '/strip']);
    });

    it('puts the dose to bring on the job card, in the unit on the bottle', async () => {
      const vehicleId = await vehicleOf({
        ...{ technology: 'IAT', capacity: gallons(10), drainable: gallons(7), additive: bottle },
        condition: { heavyDuty: true },
      });
      const { reasons } = await judged(vehicleId, condition({ scaUnitsPerGallon: 0.5 }));
      expect(textsIn(reasons).join(' ')).toMatch(/Add 2 pt of liquid SCA/);
      const card = (lines: string, query = '') =>
        fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card?lines=${lines}${query}`);
      const dosed = {
        ...{ product: 'liquid SCA', dose: { value: 1.75, unit: 'pt' }, inWords: '2 pt' },
        message: {
          ...{ code: 'card-additive', values: { amount: '2 pt', product: 'liquid SCA' } },
          text: '2 pt of liquid SCA',
        },
      };
      expect((await card('coolant:adjust')).body.additive).toMatchObject(dosed);
      expect((await card('coolant:test', '&units=si')).body.additive).toMatchObject({
        ...dosed,
        volume: { unit: 'L' },
      });
      const page = await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card?lines=coolant:adjust`, {
        accept: 'text/html',
      });
      expect(String(page.body)).toMatch(/2 pt of liquid SCA/);
      // New coolant is not dosed by what the old one lacked.
      expect((await card('coolant:replace')).body.additive).toBeNull();
      await fleet.mechanic.post('/v1/job-reports', {
        ...{ vehicleId, performedAt: '2026-05-02T12:00:00Z' },
        lines: [{ component: 'coolant', action: 'replace' }],
      });
      expect((await card('coolant:adjust')).body.additive).toBeNull();
    });

    it('says on the card if the bottle is not known', async () => {
      const vehicleId = await vehicleOf({ technology: 'NOAT' });
      await judged(vehicleId, condition({ nitriteMgPerL: 120 }));
      const { body } = await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card?lines=coolant:adjust`);
      expect(textsIn(body.missing).join()).toMatch(/the spec sheet names none/);
    });

    it('shows the bottle as given, and accepts a patch of it', async () => {
      const { body: sheet } = await postSheet({ technology: 'IAT', additive: bottle });
      expect(sheet.coolant.additive).toMatchObject({ amount: bottle.amount, raisesScaUnitsPerGallon: 10 });
      const { status, body } = await fleet.manager.patch(`/v1/spec-sheets/${sheet.id}`, {
        coolant: { additive: { amount: { value: 8, unit: 'fl.oz' } } },
      });
      expect([status, body.coolant.additive.amount]).toEqual([200, { value: 8, unit: 'fl.oz' }]);
    });
  });
});
