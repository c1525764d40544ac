import { HYBRID_PLAN, HYBRID_SHEET } from '../../support/hybrid.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const CAUTION =
  "High voltage: only qualified people, with the system isolated, locked out and proven free of voltage by the vehicle maker's procedure. Local rules decide.";

describe('the job card of a vehicle with several circuits', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z' });
    fleet = await service.newFleet();
    const { depotId } = await postScenario(fleet);
    const belt = { component: 'drive-belt', description: 'accessory belt' };
    const sheet = { ...HYBRID_SHEET, parts: [...HYBRID_SHEET.parts, belt] };
    const specSheetId = (await fleet.manager.post('/v1/spec-sheets', sheet)).body.id;
    const intervalPlanId = (await fleet.manager.post('/v1/interval-plans', HYBRID_PLAN)).body.id;
    const vehicle = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'H-7', depotId, specSheetId, intervalPlanId, duty: 'normal' },
      inServiceOn: '2019-03-15',
    });
    vehicleId = vehicle.body.id;
  });
  afterAll(() => service.stop());

  const card = (query = '') => fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card${query}`);

  it('brings each coolant by itself, and gives the steps circuit by circuit', async () => {
    const { status, body } = await card();
    expect(status).toBe(200);
    expect(body.lines.map(({ component, circuit }: any) => `${component} ${circuit}`).sort()).toEqual([
      'coolant battery',
      'coolant engine',
      'drive-belt undefined',
    ]);
    // 14 L and 6 L: 1 US quart = 0.946352946 L (NIST SP 811, appendix B).
    expect(body).toMatchObject({
      circuit: 'engine',
      coolant: { technology: 'OAT', capacity: { value: expect.closeTo(14.79, 2), unit: 'qt' } },
      otherCircuits: [
        {
          circuit: 'battery',
          coolant: {
            technology: 'low-conductivity',
            bring: null,
            afterWaterFlush: null,
            premix: { volume: { value: expect.closeTo(6.34, 2), unit: 'qt' }, strengthPercent: 50 },
          },
          holdTest: { method: 'pressure', target: { value: 5, unit: 'psi' } },
        },
      ],
    });
    const circuits = body.steps.map(({ circuit }: any) => circuit).filter(Boolean);
    const turns = circuits.filter((circuit: string, index: number) => circuit !== circuits[index - 1]);
    // The work in the engine's circuit, that in the battery's, and a recheck of each.
    expect(turns).toEqual(['engine', 'battery', 'engine', 'battery']);
    expect(body.steps.filter(({ step }: any) => step === 'road-test')).toHaveLength(1);
  });

  it('gives the caution about high voltage with every step in an electric circuit, and fills it unmixed', async () => {
    const { body } = await card('?lines=coolant:replace@battery,electric-coolant-pump:replace@battery');
    expect(body.circuit).toBe('battery');
    expect(body.otherCircuits).toEqual([]);
    expect(body.parts).toMatchObject([{ component: 'electric-coolant-pump', circuit: 'battery' }]);
    expect(new Set(body.steps.map(({ caution }: any) => caution?.text))).toEqual(new Set([CAUTION]));
    const steps = body.steps.map(({ step }: any) => step);
    expect(steps[0]).toBe('isolate');
    expect(steps).toEqual(
      expect.arrayContaining(['fill', 'bleed', 'read-conductivity', 'top-up', 'recheck']),
    );
    expect(steps).not.toContain('warm-up');
    const texts = body.steps.map(({ message }: any) => message.text).join('\n');
    expect(texts).toContain('premixed at 50 %. No other coolant, no tap water');
    expect(texts).toContain("Bleed the circuit with the vehicle maker's service mode.");
    expect(texts).toContain('At most 100 µS/cm.');
    expect(texts).not.toContain('concentrate');
    expect(body.cautions[0].code).toBe('caution-high-voltage');
  });

  it('gives no such caution with work in the engine’s circuit, and names it all the same', async () => {
    const { body } = await card('?lines=coolant:replace');
    expect(body.circuit).toBe('engine');
    expect(body.steps.every(({ caution }: any) => caution === undefined)).toBe(true);
    expect(body.cautions.map(({ code }: any) => code)).not.toContain('caution-high-voltage');
  });

  it('names no circuit with work on belts, fans and fasteners, which belong to none', async () => {
    const lines = 'drive-belt:inspect,radiator-cap:inspect,drive-belt:replace,water-pump:replace';
    const { body } = await card(`?lines=${lines},fan-clutch:replace`);
    const steps = body.steps
      .filter(({ step }: any) => ['inspect', 'remove', 'fit', 'torque', 'belt'].includes(step))
      .map(({ circuit = '-', message }: any) => `${circuit}: ${message.text}`);
    expect(steps).toEqual([
      'engine: Inspect: radiator cap',
      '-: Inspect: drive belt',
      '-: Remove: drive belt and fan clutch',
      'engine: Remove: water pump',
      'engine: Fit new: water pump',
      '-: Fit the new parts, seats clean, seals new',
      '-: Tighten to the torques on this card',
      expect.stringMatching(/^-: Belt: every rib seated/),
    ]);
    expect(body.parts.map(({ component, circuit }: any) => `${component} ${circuit}`).sort()).toEqual([
      'drive-belt undefined',
      'water-pump engine',
    ]);
    const printed = (await card('?lines=drive-belt:inspect&format=html')).body;
    expect(printed).toContain('>Inspect: drive belt<');
  });

  it('prints the circuits, containers and cautions', async () => {
    const { body } = await card('?format=html');
    expect(body).toContain('coolant, battery circuit: replace');
    expect(body).toContain(
      'battery circuit: clean containers of its own. Never mix it with another coolant.',
    );
    expect(body).toContain('battery circuit: Fill with about 6.5 qt');
    expect(body).toContain('premixed at 50 %, nothing else');
    expect(body).toContain('— High voltage: only qualified people');
  });

  it('refuses a circuit that there is not, or that the vehicle does not have', async () => {
    for (const [lines, said] of [
      ['coolant:replace@attic', /is not a circuit. Give one of engine/],
      ['coolant:replace@cabin', /has no circuit cabin. It has engine and battery/],
      ['drive-belt:inspect@battery', /drive-belt is not part of a coolant circuit/],
    ] as const) {
      const refused = await card(`?lines=${lines}`);
      expect(refused.status).toBe(400);
      expect(JSON.stringify(refused.body)).toMatch(said);
    }
  });
});
