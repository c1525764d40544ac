import { contextOf, type KnownVehicle } from '../../../clients/pages/src/phone/known/known-vehicle.js';
import { judge } from '../../../clients/pages/src/phone/readings/judge.js';
import { postedOf, type TypedReading } from '../../../clients/pages/src/phone/readings/typed-reading.js';
import { postScenario, type Scenario, SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

/** Loses 3.5 psi in five minutes. */
const HOLD: TypedReading = {
  ...{ key: 'hold', kind: 'hold-test', given: {}, units: { start: 'psi', end: 'psi' } },
  values: { start: '15.5', end: '12', minutes: '5', method: 'pressure' },
};
const FREEZE: TypedReading = {
  ...{ key: 'freeze', kind: 'freeze-point', given: {}, units: { value: 'C' } },
  values: { base: 'ethylene-glycol', method: 'refractometer', value: '-36' },
};

describe('a verdict while typing', () => {
  let service: Service;
  let fleet: FleetHandle;
  let own: Scenario;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    own = await postScenario(fleet);
    // A sheet that leaves the limits of the hold test to the fleet.
    const coolant = { ...SPEC_SHEET.coolant, maxTestPressure: { value: 18, unit: 'psi' } };
    const bare = { ...SPEC_SHEET, name: 'Bare', coolant, holdTest: { method: 'pressure' } };
    const { body: sheet } = await fleet.manager.post('/v1/spec-sheets', bare);
    const given = await fleet.manager.patch(`/v1/vehicles/${own.vehicleId}`, { specSheetId: sheet.id });
    if (given.status !== 200) throw new Error(JSON.stringify(given.body));
  });

  /** What the phone asks for, and keeps. */
  async function known(): Promise<KnownVehicle> {
    const { mechanic } = fleet;
    const { body: card } = await mechanic.get(`/v1/vehicles/${own.vehicleId}/job-card?format=json`);
    const { body: sheet } = await mechanic.get(`/v1/spec-sheets/${card.specSheet.id}`);
    const { defaults } = (await mechanic.get('/v1/fleet')).body;
    return { card, sheet, dueLines: [], practice: defaults };
  }

  async function byService(reading: TypedReading): Promise<[verdict: string, reasons: string[]]> {
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId: own.vehicleId, performedAt: NOW, lines: [], readings: [postedOf(reading)] },
    });
    expect([status, body.errors]).toEqual([201, undefined]);
    const [{ evaluation }] = body.readings;
    return [evaluation.verdict, evaluation.reasons.map(({ code }: { code: string }) => code)];
  }

  async function byPhone(reading: TypedReading): Promise<[verdict: string | null, reasons: string[]]> {
    const vehicle = await known();
    const judged = judge([reading], reading.key, (circuit) => contextOf(vehicle, circuit));
    if (judged.is !== 'judged') throw new Error(JSON.stringify(judged));
    return [judged.evaluation.verdict, judged.evaluation.reasons.map(({ code }) => code)];
  }

  it.each([
    ['the trade’s', null, 'fail'],
    ['the fleet’s own', 60, 'inconclusive'],
  ])('of a hold test uses %s limit, as the service does', async (_whose, allowedKpa, verdict) => {
    if (allowedKpa !== null) {
      const defaults = { pressureAllowedLossKpa: allowedKpa };
      expect((await fleet.manager.patch('/v1/fleet', { defaults })).status).toBe(200);
    }
    const phone = await byPhone(HOLD);
    expect(phone[0]).toBe(verdict);
    expect(phone).toEqual(await byService(HOLD));
  });

  it.each([
    ['the depot’s cold', 'depots', -25, 'pass'],
    ['the depot’s cold', 'depots', -40, 'fail'],
    ['the vehicle’s own cold', 'vehicles', -40, 'fail'],
  ])('of a freeze point knows %s, as the service does', async (_whose, kind, celsius, verdict) => {
    const id = kind === 'depots' ? own.depotId : own.vehicleId;
    const designLowTemperature = { value: celsius, unit: 'C' };
    const set = await fleet.manager.patch(`/v1/${kind}/${id}`, { designLowTemperature });
    expect([set.status, set.body.errors]).toEqual([200, undefined]);
    const phone = await byPhone(FREEZE);
    expect(phone[0]).toBe(verdict);
    expect(phone).toEqual(await byService(FREEZE));
  });
});
