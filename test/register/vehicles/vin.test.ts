import { type FleetHandle, type Service, startService } from '../../support/service.js';

/** 49 CFR 565.15(c), the sample calculation; and a guide of the regulator's. */
const [ONE, TWO] = ['1G4AH59H45G118341', '1J9RP1A36A1644345'];

describe("a vehicle's identification number", () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const post = (unitNumber: string, vin?: string | null) =>
    fleet.manager.post('/v1/vehicles', { unitNumber, ...(vin === undefined ? {} : { vin }) });

  it('may be missing, for any number of vehicles', async () => {
    for (const [unitNumber, vin] of [['A-1'], ['A-2'], ['A-3', null]] as const)
      expect((await post(unitNumber, vin)).status).toBe(201);
  });

  it('is refused if its check digit does not fit, with the right one', async () => {
    const mistyped = await post('A-1', ONE.replace('45G', '46G'));
    expect(mistyped.status).toBe(422);
    expect(mistyped.body.errors).toEqual([
      {
        pointer: '/vin',
        code: 'vin-check-digit',
        values: { given: '4', expected: '2', hint: 'mistyped' },
        detail: expect.stringMatching(/check digit 4 at position 9 .* ask for 2\. One character/),
      },
    ]);
  });

  // ISO 3780, from memory: W is Germany, where nobody asks for a check digit but of what is sold in
  // North America.
  it('is accepted with a notice if nobody demands a check digit, as long as it stays', async () => {
    const made = await post('A-1', 'WXY11111211111111');
    expect(made.status).toBe(201);
    const notices = [
      {
        pointer: '/vin',
        code: 'vin-check-digit',
        values: { given: '2', expected: '4', hint: 'possible' },
        detail: expect.stringMatching(/^has the check digit 2 .* sale in North America/),
      },
    ];
    expect(made.body.notices).toEqual(notices);
    expect((await fleet.manager.get('/v1/vehicles')).body.items[0].notices).toEqual(notices);
    const changed = await fleet.manager.patch(`/v1/vehicles/${made.body.id}`, { vin: ONE });
    expect([changed.status, changed.body.notices]).toEqual([200, []]);
  });

  it('belongs to one vehicle of a fleet: another is refused, and told whose it is', async () => {
    expect((await post('A-1', ONE)).status).toBe(201);
    const second = (await post('A-2', TWO)).body;
    const refusal = {
      type: '/problems/vin-taken',
      code: 'vehicle-vin-taken-by',
      values: { holder: 'A-1' },
      errors: [
        {
          pointer: '/vin',
          code: 'vehicle-vin-taken-by-here',
          values: { holder: 'A-1' },
          detail: 'is taken by another vehicle, A-1',
        },
      ],
    };
    const made = await post('A-3', ONE);
    expect([made.status, made.body]).toEqual([409, expect.objectContaining(refusal)]);
    const changed = await fleet.manager.patch(`/v1/vehicles/${second.id}`, { vin: ONE });
    expect([changed.status, changed.body]).toEqual([409, expect.objectContaining(refusal)]);
    // Its own, sent again with something else, is no other's.
    const again = await fleet.manager.patch(`/v1/vehicles/${second.id}`, { vin: TWO, make: 'Summit' });
    expect(again.status).toBe(200);
    expect((await fleet.manager.get('/v1/vehicles')).body.items).toHaveLength(2);
    const elsewhere = await service.newFleet();
    expect((await elsewhere.manager.post('/v1/vehicles', { unitNumber: 'A-1', vin: ONE })).status).toBe(201);
  });

  it('goes to one of many that ask for it at once', async () => {
    const answers = await Promise.all(Array.from({ length: 8 }, (_, index) => post(`C-${index}`, ONE)));
    expect(answers.map(({ status }) => status).sort((a, b) => a - b)).toEqual([201, ...Array(7).fill(409)]);
    for (const { status, body } of answers) if (status === 409) expect(body.errors[0].pointer).toBe('/vin');
  });
});
