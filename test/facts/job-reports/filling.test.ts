import { postScenario } from '../../support/scenario.js';
import { textsIn } from '../../support/english.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const litres = (value: number) => ({ value, unit: 'L' });
const inHg = (value: number) => ({ value, unit: 'inHg' });

const READ = {
  kind: 'freeze-point',
  base: 'ethylene-glycol',
  scale: 'ethylene-glycol',
  method: 'refractometer',
  value: { value: -37, unit: 'C' },
};

describe('a fill', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
    // The sheet's system holds 14 L, of which 9.5 L drain; ethylene glycol.
    ({ vehicleId } = await postScenario(fleet));
  });
  afterAll(() => service.stop());

  const fill = (more: object = {}) => ({
    kind: 'fill',
    drained: litres(9.5),
    added: litres(9.5),
    strengthPercent: 50,
    base: 'ethylene-glycol',
    ...more,
  });
  /** What became of the readings of a job on the coolant, on a day of March 2026. */
  async function judged(day: number, action: string, readings: object[]) {
    const answer = await fleet.mechanic.post('/v1/job-reports', {
      vehicleId,
      performedAt: `2026-03-${String(day).padStart(2, '0')}T10:00:00Z`,
      lines: [{ component: 'coolant', action }],
      readings,
    });
    expect([answer.status, answer.body.errors]).toEqual([201, undefined]);
    return answer.body.readings.map((reading: any) => reading.evaluation);
  }

  // By hand: 4.5 L of water stay, so that 9.5 L at 50 % end at 9.5·50/14 = 33.93 %.
  it('is weakened by the water of a flush, and the job card allows for that', async () => {
    const [weak] = await judged(2, 'flush', [fill()]);
    expect(weak).toMatchObject({
      verdict: 'inconclusive',
      computed: { expectedStrengthPercent: expect.closeTo((9.5 * 50) / 14, 6), strengthCheckDue: true },
    });
    const card = await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card?lines=coolant:adjust`);
    expect(card.body.coolant.adjust.fromPercent).toBeCloseTo((9.5 * 50) / 14, 6);
  });

  it('needs another reading if the strength was read before it', async () => {
    const answer = await fleet.mechanic.post('/v1/job-reports', {
      vehicleId,
      performedAt: '2026-03-02T10:00:00Z',
      lines: [{ component: 'coolant', action: 'flush' }],
      readings: [READ, fill()],
    });
    expect(textsIn(answer.body.readings[1].evaluation.reasons)).toContain(
      'The freeze point of this job was read before this was poured in. Read it again.',
    );
    expect(answer.body.outcome.followUps).toEqual(
      expect.arrayContaining([
        expect.objectContaining({ component: 'coolant', action: 'test', atOnce: true }),
      ]),
    );
    await judged(2, 'test', [READ]);
    const { body } = await fleet.mechanic.get(`/v1/due-list?vehicleId=${vehicleId}`);
    expect(body.items.filter(({ action }: any) => action === 'test')).toEqual([]);
  });

  // By hand: 4.5 L at 50 % stay, so that 9.5 L at 60 % end at 56.79 %.
  it('counts what a drain left at the last known strength, unless the mechanic reports another', async () => {
    const [first] = await judged(2, 'replace', [fill()]);
    expect(first.computed.expectedStrengthPercent).toBeNull();
    const [second] = await judged(9, 'replace', [fill({ strengthPercent: 60 })]);
    const afterSecond = (4.5 * 50 + 9.5 * 60) / 14;
    expect(second.computed.expectedStrengthPercent).toBeCloseTo(afterSecond, 6);
    const [third] = await judged(16, 'replace', [fill()]);
    expect(third.computed.expectedStrengthPercent).toBeCloseTo((4.5 * afterSecond + 9.5 * 50) / 14, 6);
    const [said] = await judged(23, 'replace', [fill({ stayedStrengthPercent: 20 })]);
    expect(said.computed.expectedStrengthPercent).toBeCloseTo((4.5 * 20 + 9.5 * 50) / 14, 6);
  });

  it('of another base needs a flush, not a drain and refill', async () => {
    const [poured] = await judged(2, 'replace', [fill({ base: 'propylene-glycol' })]);
    expect(poured.verdict).toBe('fail');
    expect(poured.reasons[0].text).toMatch(/Flush it and refill/);
    const [refilled, unsure] = await judged(9, 'replace', [fill(), READ]);
    expect([refilled.verdict, refilled.computed.otherBase, unsure.verdict]).toEqual([
      'fail',
      true,
      'inconclusive',
    ]);
    const concentrate = fill({ added: litres(9.5), strengthPercent: 73.7 });
    const flushed = await judged(16, 'flush', [concentrate, READ]);
    expect(flushed.map(({ verdict }: any) => verdict)).toEqual(['pass', 'pass']);
    const [after] = await judged(23, 'test', [READ]);
    expect(after.verdict).toBe('pass');
  });

  it('by vacuum is complete if the system was topped up to the mark', async () => {
    const vacuum = {
      ...{ kind: 'hold-test', method: 'vacuum', engineCold: true },
      ...{ start: inHg(22), end: inHg(21.7), minutes: 6 },
    };
    const byVacuum = async (day: number, more: object) =>
      (await judged(day, 'replace', [vacuum, fill({ added: litres(8), ...more })])).at(1).verdict;
    expect(await byVacuum(2, {})).toBe('inconclusive');
    expect(await byVacuum(3, { toppedUpToMark: false })).toBe('fail');
    expect(await byVacuum(4, { toppedUpToMark: true })).toBe('fail');
    expect(await byVacuum(5, { toppedUpToMark: true, added: litres(9.4) })).toBe('pass');
  });

  it('with tap water is noted, and so is such a top-up', async () => {
    const topUp = { kind: 'top-up', added: litres(1), strengthPercent: 0, tapWater: true };
    for (const { reasons, computed } of await judged(2, 'replace', [fill({ tapWater: true }), topUp])) {
      expect(textsIn(reasons).join()).toMatch(/Tap water went in, which is for an emergency only/);
      expect(computed.tapWater).toBe(true);
    }
  });
});
