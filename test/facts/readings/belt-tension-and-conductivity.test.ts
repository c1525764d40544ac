import { textsIn } from '../../support/english.js';
import { SPEC_SHEET } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const unit = (name: string) => (value: number) => ({ value, unit: name });
const [mm, inches, lbf] = [unit('mm'), unit('in'), unit('lbf')];
const TENSION = {
  inService: {
    frequencyMinHz: 100,
    frequencyMaxHz: 115,
    deflectionMin: inches(0.25),
    deflectionMax: inches(0.375),
  },
  newBelt: { frequencyMinHz: 120, frequencyMaxHz: 135 },
  deflectionForce: lbf(13),
  massKgPerM: 0.11,
};

describe('belt tension, tensioner wear and conductivity, over real HTTP', () => {
  let service: Service;
  let fleet: FleetHandle;
  let sheetId: string;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-06-01T12:00:00Z' });
    fleet = await service.newFleet({ units: 'us' });
    const { body } = await fleet.manager.post('/v1/spec-sheets', {
      ...SPEC_SHEET,
      coolant: { ...SPEC_SHEET.coolant, condition: { conductivityMaxUsPerCm: 100 } },
      belts: [
        { name: 'fan', designation: 'B58', tension: TENSION },
        { name: 'accessory', designation: '6PK1880', tensionerArmSwingMax: mm(3) },
      ],
    });
    sheetId = body.id;
    vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'B-1', specSheetId: sheetId })).body
      .id;
  });
  afterAll(() => service.stop());

  const post = async (reading: object): Promise<any> => {
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      takenAt: '2026-05-01T12:00:00Z',
      ...reading,
    });
    expect([status, body]).toEqual([201, expect.anything()]);
    return body;
  };

  it('keeps the limits of a sheet as they were given', async () => {
    const { body } = await fleet.dashboard.get(`/v1/spec-sheets/${sheetId}`);
    const [fan, accessory] = body.belts;
    expect(fan.tension.inService).toEqual({
      ...{ frequencyMinHz: 100, frequencyMaxHz: 115 },
      deflectionMin: { value: expect.closeTo(0.25, 6), unit: 'in' },
      deflectionMax: { value: expect.closeTo(0.375, 6), unit: 'in' },
    });
    expect(fan.tension.deflectionForce).toEqual({ value: expect.closeTo(13, 6), unit: 'lbf' });
    expect(accessory).toMatchObject({ tension: null, tensionerArmSwingMax: { unit: 'in' } });
    const patched = await fleet.manager.patch(`/v1/spec-sheets/${sheetId}`, { hoses: ['upper'] });
    expect(patched.status).toBe(200);
    expect(patched.body.belts).toEqual(body.belts);
  });

  it('judges a tension in the units of the gauge and opens what it asks for', async () => {
    const { evaluation, outcome } = await post({
      ...{ kind: 'belt-tension', item: 'fan', frequencyHz: 92, span: inches(12) },
      ...{ deflection: inches(0.5), force: lbf(13) },
    });
    expect(evaluation.verdict).toBe('fail');
    expect(textsIn(evaluation.reasons)).toEqual([
      'The belt is too slack: 92 Hz; at least 100 Hz is needed. Tighten it.',
      'The belt is too slack: it gives 0.5 in; at most 0.375 in is allowed. Tighten it.',
    ]);
    expect(evaluation.computed.tension).toEqual({ value: expect.closeTo(77.8, 1), unit: 'lbf' });
    expect(outcome.followUps).toEqual([
      expect.objectContaining({ component: 'drive-belt', action: 'adjust', item: 'fan', atOnce: true }),
    ]);
  });

  it('shows the tension to set on the card of the work', async () => {
    const { body } = await fleet.mechanic.get(
      `/v1/vehicles/${vehicleId}/job-card?lines=drive-belt:replace:fan`,
    );
    expect(body.belts).toEqual([
      expect.objectContaining({
        name: 'fan',
        tension: expect.objectContaining({ newBelt: true, frequencyMinHz: 120, deflectionMin: null }),
      }),
    ]);
    expect(textsIn(body.steps.map((step: any) => step.message))).toContainEqual(
      expect.stringContaining('A new belt stretches: measure it again once it has run in.'),
    );
  });

  it('judges a tensioner by the swing of its arm', async () => {
    const { evaluation } = await post({
      ...{ kind: 'tensioner-check', item: 'accessory', mark: 'in-range', armSwing: mm(5) },
    });
    expect(evaluation.verdict).toBe('fail');
    expect(textsIn(evaluation.reasons)[0]).toBe(
      'The arm of the tensioner swings 0.197 in at idle; at most 0.118 in is allowed. Look for a worn damper and for a pulley out of true.',
    );
  });

  it('judges the conductivity of a coolant and says what it does not show', async () => {
    const good = await post({ kind: 'conductivity', conductivityUsPerCm: 40, compensatedTo25C: true });
    expect(good.evaluation.verdict).toBe('pass');
    const high = await post({ kind: 'conductivity', conductivityUsPerCm: 260, compensatedTo25C: true });
    expect(high.evaluation.verdict).toBe('fail');
    expect(textsIn(high.evaluation.cautions)[0]).toContain('High voltage');
    expect(high.outcome.followUps).toEqual([
      expect.objectContaining({ component: 'coolant', action: 'replace', atOnce: true }),
    ]);
  });
});
