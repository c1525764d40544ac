import { assignVehicle } from '../../support/vehicles.js';
import { textsIn } from '../../support/english.js';
import { SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

/** What the tests vary. */
const SHEET = { ...SPEC_SHEET, coolant: { ...SPEC_SHEET.coolant, strengthMax: 60 } };

describe('spec sheets', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService();
  });
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us' });
  });
  afterAll(() => service.stop());

  const post = (changes: object = {}) => fleet.manager.post('/v1/spec-sheets', { ...SHEET, ...changes });
  const postCoolant = (changes: object) => post({ coolant: { ...SHEET.coolant, ...changes } });
  const postHoldTest = (changes: object) => post({ holdTest: { ...SHEET.holdTest, ...changes } });
  const postFastener = (fastener: object) => post({ fasteners: [{ name: 'pump', count: 9, ...fastener }] });

  it('keep every field, and show vacuum in inHg if pressure is in psi', async () => {
    const created = await post();
    expect(created.status).toBe(201);
    expect(created.headers.get('etag')).toBe('"1"');
    const read = await fleet.mechanic.get(`/v1/spec-sheets/${created.body.id}`);
    expect(read.body).toEqual(created.body);
    expect(read.body).toEqual({
      id: expect.any(String),
      name: 'Highland 4.6 petrol',
      circuit: 'engine',
      circuitNote: null,
      otherCircuits: [],
      coolant: {
        base: 'ethylene-glycol',
        technology: 'OAT',
        // 1 US quart = 0.946352946 L (NIST SP 811, appendix B): 14 L = 14.79362… qt, 9.5 L =
        // 10.03853… qt.
        capacity: { value: expect.closeTo(14.79362, 4), unit: 'qt' },
        drainable: { value: expect.closeTo(10.03853, 4), unit: 'qt' },
        targetStrengthPercent: 50,
        strengthMax: 60,
        capRating: { value: 16, unit: 'psi' },
        condition: null,
        thermostatOpens: null,
        highTemperatureAlarm: null,
        litresMinToMax: null,
        additive: null,
        maxTestPressure: null,
      },
      holdTest: {
        method: 'vacuum',
        target: { value: 23, unit: 'inHg' },
        minutes: 5,
        allowedLoss: { value: 1, unit: 'inHg' },
      },
      fasteners: [
        {
          name: 'pump-to-cover',
          count: 9,
          component: 'water-pump',
          // 1 lbf·ft = 1.355818 N·m (NIST SP 811, appendix B): 11 N·m = 8.11318 lbf·ft.
          torque: { value: expect.closeTo(8.11318, 4), unit: 'ft.lbf' },
          tolerancePercent: 10,
          min: null,
          max: null,
          angle: null,
        },
      ],
      belts: [
        {
          ...{ name: 'accessory', designation: '6PK1880' },
          ...{ tension: null, tensionerArmSwingMax: null },
        },
      ],
      hoses: ['upper', 'lower'],
      labour: null,
      parts: [{ component: 'water-pump', description: 'pump with gasket', quantity: 1, partNumber: null }],
      starter: null,
      version: 1,
    });
    const metric = await fleet.dashboard.get(`/v1/spec-sheets/${created.body.id}?units=si`);
    // 1 inHg (conventional, 0 °C) = 3.386389 kPa, 1 psi = 6.894757 kPa (NIST SP 811, appendix B).
    expect(metric.body.holdTest.target).toEqual({ value: expect.closeTo(77.88695, 4), unit: 'kPa' });
    expect(metric.body.coolant.capRating).toEqual({ value: expect.closeTo(110.3161, 3), unit: 'kPa' });
    expect(metric.body.coolant.capacity).toEqual({ value: 14, unit: 'L' });
  });

  it('show the target of a pressure test in psi', async () => {
    const { body } = await postHoldTest({
      method: 'pressure',
      target: { value: 16, unit: 'psi' },
      allowedLoss: { value: 7, unit: 'kPa' },
    });
    expect(body.holdTest.target).toEqual({ value: 16, unit: 'psi' });
    expect(body.holdTest.allowedLoss.unit).toBe('psi');
  });

  it('need a name, a base and a capacity, and nothing else', async () => {
    const least = await fleet.manager.post('/v1/spec-sheets', {
      name: 'Bare',
      coolant: { base: 'propylene-glycol', capacity: { value: 3, unit: 'gal' } },
    });
    expect(least.status).toBe(201);
    expect(least.body).toMatchObject({
      circuit: 'engine',
      otherCircuits: [],
      holdTest: null,
      fasteners: [],
      belts: [],
      hoses: [],
      parts: [],
      coolant: { technology: null, drainable: null, capacity: { value: 12, unit: 'qt' } },
    });
    for (const [body, pointer] of [
      [{ coolant: SHEET.coolant }, '/name'],
      [{ name: 'X' }, '/coolant'],
      [{ name: 'X', coolant: { capacity: { value: 3, unit: 'gal' } } }, '/coolant/base'],
      [{ name: 'X', coolant: { base: 'ethylene-glycol' } }, '/coolant/capacity'],
    ] as const) {
      const refused = await fleet.manager.post('/v1/spec-sheets', body);
      expect(refused.status).toBe(422);
      expect(refused.body.errors.map((error: any) => error.pointer)).toEqual([pointer]);
    }
  });

  it('refuse 25 psi of vacuum, which exists nowhere, and ask whether inHg was meant', async () => {
    const refused = await postHoldTest({ target: { value: 25, unit: 'psi' } });
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([
      { pointer: '/holdTest/target', detail: expect.any(String) },
    ]);
    const [{ detail }] = refused.body.errors;
    expect(detail).toContain('25 psi of vacuum exists nowhere');
    // One standard atmosphere: 101.325 kPa = 14.70 psi = 29.92 inHg (U.S. Standard Atmosphere
    // 1976).
    expect(detail).toContain('14.7 psi (29.92 inHg) at sea level');
    expect(detail).toContain('Was it 25 inHg?');
  });

  it('allow a vacuum target the 3 kPa that weather can add, and no more', async () => {
    // 101.325 kPa is the standard atmosphere; 3 kPa of weather is from memory of meteorology
    // textbooks.
    expect((await postHoldTest({ target: { value: 104.3, unit: 'kPa' } })).status).toBe(201);
    const beyond = await post({
      name: 'Other',
      holdTest: { ...SHEET.holdTest, target: { value: 104.4, unit: 'kPa' } },
    });
    expect(beyond.status).toBe(422);
    const negative = await postHoldTest({ target: { value: -23, unit: 'inHg' } });
    expect(negative.body.errors[0].detail).toContain(
      'a vacuum is given as a positive number. Was it 23 inHg?',
    );
    expect((await postHoldTest({ target: { value: 0, unit: 'inHg' } })).status).toBe(422);
  });

  it("refuse a hold-test pressure above the cap's rating, or above the sheet's own limit", async () => {
    const pressure = { method: 'pressure', minutes: 5, allowedLoss: { value: 7, unit: 'kPa' } };
    const over = await post({ holdTest: { ...pressure, target: { value: 20, unit: 'psi' } } });
    expect(over.status).toBe(422);
    expect(inText(over.body.errors)).toEqual([
      { pointer: '/holdTest/target', detail: expect.stringContaining('20 psi is above the 16 psi') },
    ]);
    const limited = await post({
      coolant: { ...SHEET.coolant, maxTestPressure: { value: 14, unit: 'psi' } },
      holdTest: { ...pressure, target: { value: 15, unit: 'psi' } },
    });
    expect(limited.body.errors[0].detail).toContain('15 psi is above the 14 psi');
    // The lower of the two counts: a test at 20 psi would be over-pressured.
    const raised = await post({
      coolant: { ...SHEET.coolant, maxTestPressure: { value: 20, unit: 'psi' } },
      holdTest: { ...pressure, target: { value: 20, unit: 'psi' } },
    });
    expect(raised.body.errors[0].detail).toContain('20 psi is above the 16 psi');
    const within = await post({
      coolant: { ...SHEET.coolant, maxTestPressure: { value: 14, unit: 'psi' } },
      holdTest: { ...pressure, target: { value: 14, unit: 'psi' } },
    });
    expect(within.status).toBe(201);
    const slip = await post({ holdTest: { ...pressure, target: { value: 110, unit: 'psi' } } });
    expect(slip.body.errors[0].detail).toContain('Was it 110 kPa?');
  });

  it('refuse an allowed loss of nothing, or of the whole test', async () => {
    for (const allowedLoss of [
      { value: 0, unit: 'inHg' },
      { value: -1, unit: 'inHg' },
      { value: 23, unit: 'inHg' },
    ]) {
      const refused = await postHoldTest({ allowedLoss });
      expect(refused.status).toBe(422);
      expect(refused.body.errors[0].pointer).toBe('/holdTest/allowedLoss');
    }
  });

  it('refuse more coolant drained than the system holds, in the units of the fleet', async () => {
    const refused = await postCoolant({ drainable: { value: 16, unit: 'qt' } });
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([
      { pointer: '/coolant/drainable', detail: 'is 16 qt, more than the 15 qt that the system holds' },
    ]);
    // The same volume in two units is not more: 3.7 gal = 14.8 qt (231 in³ to the US gallon).
    const same = await postCoolant({
      capacity: { value: 3.7, unit: 'gal' },
      drainable: { value: 14.8, unit: 'qt' },
    });
    expect(same.status).toBe(201);
  });

  it('refuse a target strength above the greatest', async () => {
    const over = await postCoolant({ targetStrengthPercent: 65 });
    expect(over.status).toBe(422);
    expect(over.body.errors[0].pointer).toBe('/coolant/targetStrengthPercent');
    // Without a limit of its own the sheet's is 60 % (ASTM D6210).
    const byDefault = await postCoolant({ targetStrengthPercent: 61, strengthMax: null });
    expect(byDefault.body.errors[0].detail).toContain('give strengthMax');
    expect((await postCoolant({ targetStrengthPercent: 65, strengthMax: 65 })).status).toBe(201);
  });

  it.each([
    ['neither torque nor limits', {}, '/fasteners/0'],
    ['a tolerance of nothing', { tolerancePercent: 10 }, '/fasteners/0'],
    ['an angle alone', { angle: '90 degrees' }, '/fasteners/0'],
    ['min without max', { min: { value: 10, unit: 'N.m' } }, '/fasteners/0/max'],
    ['max without min', { max: { value: 10, unit: 'N.m' } }, '/fasteners/0/min'],
    [
      'min above max',
      { min: { value: 12, unit: 'N.m' }, max: { value: 10, unit: 'N.m' } },
      '/fasteners/0/min',
    ],
    [
      'both a tolerance and limits',
      { min: { value: 10, unit: 'N.m' }, max: { value: 12, unit: 'N.m' }, tolerancePercent: 5 },
      '/fasteners/0/tolerancePercent',
    ],
    [
      'a torque outside its own limits',
      {
        min: { value: 10, unit: 'N.m' },
        max: { value: 12, unit: 'N.m' },
        torque: { value: 11, unit: 'ft.lbf' },
      },
      '/fasteners/0/torque',
    ],
    ['no fasteners to count', { count: 0, torque: { value: 11, unit: 'N.m' } }, '/fasteners/0/count'],
    [
      'a component that there is none of',
      { component: 'pump', torque: { value: 11, unit: 'N.m' } },
      '/fasteners/0/component',
    ],
    ['a torque in psi', { torque: { value: 11, unit: 'psi' } }, '/fasteners/0/torque'],
  ])('refuse a fastener with %s', async (_what, fastener, pointer) => {
    const refused = await postFastener(fastener);
    expect(refused.status).toBe(422);
    expect(refused.body.errors.map((error: any) => error.pointer)).toEqual([pointer]);
  });

  it('accept a fastener with only a torque, with limits, or with both and an angle', async () => {
    const { status, body } = await post({
      fasteners: [
        { name: 'a', count: 1, torque: { value: 89, unit: 'in.lbf' } },
        { name: 'b', count: 2, min: { value: 9, unit: 'N.m' }, max: { value: 11, unit: 'N.m' } },
        {
          name: 'c',
          count: 3,
          torque: { value: 10, unit: 'N.m' },
          min: { value: 9, unit: 'N.m' },
          max: { value: 11, unit: 'N.m' },
          angle: 'then a quarter turn',
        },
      ],
    });
    expect(status).toBe(201);
    const metric = await fleet.manager.get(`/v1/spec-sheets/${body.id}?units=si`);
    // 89 lbf·in = 10.06 N·m (1 lbf·in = 0.1129848 N·m, NIST SP 811, appendix B).
    expect(metric.body.fasteners[0].torque.value).toBeCloseTo(10.0556, 3);
    expect(metric.body.fasteners[1]).toMatchObject({ torque: null, min: { value: 9 }, max: { value: 11 } });
    expect(metric.body.fasteners[2].angle).toBe('then a quarter turn');
  });

  it('refuse a name twice, in any case, and name each place', async () => {
    const torque = { value: 11, unit: 'N.m' };
    const refused = await post({
      fasteners: [
        { name: 'pump', count: 1, torque },
        { name: 'Pump ', count: 2, torque },
      ],
      belts: [{ name: 'accessory' }, { name: 'fan' }, { name: 'accessory' }],
      hoses: ['upper', 'UPPER'],
    });
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([
      { pointer: '/fasteners/1/name', detail: expect.stringContaining('position 1') },
      { pointer: '/belts/2/name', detail: expect.stringContaining('position 1') },
      { pointer: '/hoses/1', detail: expect.stringContaining('position 1') },
    ]);
  });

  it.each([
    [{ coolant: { ...SHEET.coolant, base: 'water' } }, '/coolant/base'],
    [{ coolant: { ...SHEET.coolant, technology: 'green' } }, '/coolant/technology'],
    [{ coolant: { ...SHEET.coolant, capacity: { value: 0, unit: 'L' } } }, '/coolant/capacity'],
    [{ coolant: { ...SHEET.coolant, capacity: { value: '14', unit: 'L' } } }, '/coolant/capacity'],
    [{ coolant: { ...SHEET.coolant, capRating: { value: 16, unit: 'bar' } } }, '/coolant/capRating'],
    [{ coolant: [] }, '/coolant'],
    [{ holdTest: { ...SHEET.holdTest, method: 'smoke' } }, '/holdTest/method'],
    [{ holdTest: { ...SHEET.holdTest, minutes: 0 } }, '/holdTest/minutes'],
    [{ holdTest: 'vacuum' }, '/holdTest'],
    [{ parts: [{ component: 'flux-capacitor', description: 'x' }] }, '/parts/0/component'],
    [{ parts: [{ component: 'water-pump', description: 'x', quantity: 1.5 }] }, '/parts/0/quantity'],
    [{ belts: [null] }, '/belts'],
    [{ hoses: ['upper', 3] }, '/hoses'],
    [{ fasteners: {} }, '/fasteners'],
    [{ colour: 'red' }, '/colour'],
  ])('refuse %j and point at it', async (changes, pointer) => {
    const refused = await post(changes);
    expect(refused.status).toBe(422);
    expect(refused.headers.get('content-type')).toContain('application/problem+json');
    expect(refused.body.errors.map((error: any) => error.pointer)).toEqual([pointer]);
  });

  it('change by merge patch: nested fields singly, lists whole, null clears', async () => {
    const { body: sheet } = await post();
    const path = `/v1/spec-sheets/${sheet.id}`;
    const changed = await fleet.manager.patch(
      path,
      {
        coolant: { drainable: null, strengthMax: 55 },
        hoses: ['upper'],
        holdTest: { minutes: 10 },
        belts: null,
      },
      { 'if-match': '"1"', 'content-type': 'application/merge-patch+json' },
    );
    expect(changed.status).toBe(200);
    expect(changed.headers.get('etag')).toBe('"2"');
    expect(changed.body).toEqual({
      ...sheet,
      version: 2,
      coolant: { ...sheet.coolant, drainable: null, strengthMax: 55 },
      holdTest: { ...sheet.holdTest, minutes: 10 },
      hoses: ['upper'],
      belts: [],
    });
    expect((await fleet.manager.patch(path, { name: 'Y' }, { 'if-match': '"1"' })).status).toBe(412);
    expect((await fleet.manager.patch(path, { holdTest: null })).body.holdTest).toBeNull();
    expect((await fleet.manager.get(path)).body).toMatchObject({ version: 3, holdTest: null });
  });

  it('are checked as they would be after a patch, not by the patch alone', async () => {
    const { body: sheet } = await post();
    const path = `/v1/spec-sheets/${sheet.id}`;
    const smaller = await fleet.manager.patch(path, { coolant: { capacity: { value: 8, unit: 'L' } } });
    expect(smaller.status).toBe(422);
    expect(smaller.body.errors[0].pointer).toBe('/coolant/drainable');
    expect((await fleet.manager.patch(path, { coolant: { base: null } })).status).toBe(422);
    expect((await fleet.manager.patch(path, { name: null })).body.errors[0].pointer).toBe('/name');
    expect((await fleet.manager.get(path)).body.version).toBe(1);
  });

  it('update their vehicles’ conclusions after a change', async () => {
    const { ConclusionsService } = await import('../../../src/conclusions/pipeline/conclusions.service.js');
    const conclusions = service.app.get(ConclusionsService, { strict: false });
    const { body: sheet } = await post();
    const own = conclusions.refreshTouched.bind(conclusions);
    const heard: unknown[] = [];
    const refreshing = jest.spyOn(conclusions, 'refreshTouched').mockImplementation((tx, touched) => {
      heard.push(touched);
      return own(tx, touched);
    });
    await fleet.manager.patch(`/v1/spec-sheets/${sheet.id}`, { coolant: { strengthMax: 55 } });
    refreshing.mockRestore();
    expect(heard).toEqual([{ specSheetId: sheet.id }]);
  });

  it('have unique names in a fleet, and page by name', async () => {
    await post({ name: 'b' });
    const twice = await post({ name: ' b ' });
    expect(twice.status).toBe(409);
    expect(twice.body).toMatchObject({ type: '/problems/name-taken', errors: [{ pointer: '/name' }] });
    await post({ name: 'c' });
    await post({ name: 'a' });
    const first = await fleet.dashboard.get('/v1/spec-sheets?limit=2');
    expect(first.body.items.map((sheet: any) => sheet.name)).toEqual(['a', 'b']);
    expect(first.headers.get('link')).toContain('rel="next"');
    const second = await fleet.dashboard.get(`/v1/spec-sheets?limit=2&cursor=${first.body.next}`);
    expect(second.body.items.map((sheet: any) => sheet.name)).toEqual(['c']);
    expect(second.body.next).toBeNull();
    expect(
      (await fleet.manager.patch(`/v1/spec-sheets/${second.body.items[0].id}`, { name: 'a' })).status,
    ).toBe(409);
  });

  it('belong to one fleet and are written by managers', async () => {
    const { body: sheet } = await post();
    const path = `/v1/spec-sheets/${sheet.id}`;
    const other = await service.newFleet();
    expect((await other.manager.get(path)).status).toBe(404);
    expect((await other.manager.patch(path, { name: 'Mine' })).status).toBe(404);
    expect((await other.manager.delete(path)).status).toBe(404);
    for (const client of [fleet.mechanic, fleet.dashboard]) {
      expect((await client.post('/v1/spec-sheets', SHEET)).status).toBe(403);
      expect((await client.patch(path, { name: 'No' })).status).toBe(403);
      expect((await client.delete(path)).status).toBe(403);
    }
    expect((await fleet.manager.get('/v1/spec-sheets/nothing')).status).toBe(404);
  });

  it('can be deleted if no vehicle has or ever had them', async () => {
    const { body: unused } = await post({ name: 'unused' });
    const path = `/v1/spec-sheets/${unused.id}`;
    expect((await fleet.manager.delete(path)).status).toBe(204);
    expect((await fleet.manager.get(path)).status).toBe(404);
    expect((await fleet.manager.delete(path)).status).toBe(404);

    const { body: used } = await post({ name: 'used' });
    await assignVehicle(service, fleet, { spec_sheet_id: used.id }, { spec_sheet_id: used.id });
    const { body: once } = await post({ name: 'once' });
    await assignVehicle(service, fleet, {}, { spec_sheet_id: once.id });
    for (const { id } of [used, once]) {
      const refused = await fleet.manager.delete(`/v1/spec-sheets/${id}`);
      expect(refused.status).toBe(409);
      expect(refused.body.type).toBe('/problems/in-use');
      expect((await fleet.manager.get(`/v1/spec-sheets/${id}`)).status).toBe(200);
    }
  });

  describe("the limits for a coolant's condition", () => {
    const condition = { pHMin: 7.5, pHMax: 9, nitriteMinMgPerL: null, heavyDuty: false };

    async function judged(coolant: object, reading: object) {
      const { body: sheet } = await postCoolant(coolant);
      const { body: vehicle } = await fleet.manager.post('/v1/vehicles', {
        unitNumber: 'C-1',
        specSheetId: sheet.id,
      });
      const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicle.id}/readings`, {
        ...{ kind: 'coolant-condition', takenAt: '2026-04-01T12:00:00Z' },
        ...reading,
      });
      expect(status).toBe(201);
      return body.evaluation;
    }

    it("are the sheet's own, stored as given", async () => {
      const created = await postCoolant({ condition });
      expect(created.status).toBe(201);
      expect(created.body.coolant.condition).toMatchObject({ pHMin: 7.5, pHMax: 9, heavyDuty: false });
    });

    // Invented limits; 8.2 lies between them, 7.2 below.
    it.each([
      [8.2, 'pass'],
      [7.2, 'fail'],
    ])('pass and fail a reading: pH %d', async (pH, verdict) => {
      const evaluation = await judged({ condition }, { pH });
      expect(evaluation.verdict).toBe(verdict);
      expect(textsIn(evaluation.basis)).toEqual(['pH at least 7.5, at most 9 (spec sheet)']);
    });

    // 8.5 to 10.5: common practice for heavy-duty IAT coolants, no published source.
    it.each([
      [undefined, 'fail'],
      [{ heavyDuty: false }, null],
    ])(
      'are common practice for an IAT coolant without its own, only in heavy duty: %j',
      async (given, verdict) => {
        expect((await judged({ technology: 'IAT', condition: given }, { pH: 8.2 })).verdict).toBe(verdict);
      },
    );

    it('cannot be such that no coolant could meet them', async () => {
      const refused = await postCoolant({ condition: { pHMin: 9, pHMax: 8, scaMaxUnitsPerGallon: -1 } });
      expect(refused.status).toBe(422);
      expect(refused.body.errors.map((fault: any) => fault.pointer)).toContain(
        '/coolant/condition/scaMaxUnitsPerGallon',
      );
      const crossed = await postCoolant({ condition: { pHMin: 9, pHMax: 8 } });
      expect(inText(crossed.body.errors)).toEqual([
        { pointer: '/coolant/condition/pHMin', detail: 'is 9, above pHMax, 8' },
      ]);
    });
  });
});
