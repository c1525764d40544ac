import type { WarmUpCheckReading } from '../../../src/domain/checks/warm-up-check.js';
import { evaluateCoolantCondition as conditionJudged } from '../../../src/domain/coolant-condition/coolant-condition.js';
import { evaluateFill as fillJudged, type FillReading } from '../../../src/domain/filling/fill.js';
import { shortfallL } from '../../../src/domain/filling/fill-shortfall.js';
import { pouringConsequences } from '../../../src/domain/filling/mixing.js';
import { english, inEnglish } from '../../support/english.js';

const evaluateCoolantCondition = (...given: Parameters<typeof conditionJudged>) =>
  inEnglish(conditionJudged(...given));
const evaluateFill = (...given: Parameters<typeof fillJudged>) => inEnglish(fillJudged(...given));

function fill(more: Partial<FillReading> = {}): FillReading {
  return {
    kind: 'fill',
    drainedL: 9.4,
    cameInLow: false,
    addedL: 9.3,
    strengthPercent: 50,
    base: 'ethylene-glycol',
    technology: 'OAT',
    unit: 'L',
    ...more,
  };
}

const sheet = { base: 'ethylene-glycol', technology: 'OAT', capacityL: 14, drainableL: 9.5 } as const;
const warm: WarmUpCheckReading = {
  kind: 'warm-up-check',
  heatAtVents: true,
  fanCycled: true,
  thermostatOpened: true,
  temperatureSteady: true,
  leakSeen: false,
  levelAfterCooling: 'at-mark',
};

describe('fill', () => {
  it('passes when as much went in as came out', () => {
    const result = evaluateFill(fill(), sheet);
    expect(result.verdict).toBe('pass');
    expect(result.computed.shortfall).toEqual({ measure: 'volume', value: expect.closeTo(0.1, 9) });
  });

  // The larger of 0.5 L and 5 % of capacity (common practice): 0.7 L for 14 L, 0.5 L for 8 L.
  it.each([
    [14, 9.4, 8.7, 'pass'],
    [14, 9.4, 8.69, 'fail'],
    [8, 6, 5.5, 'pass'],
    [8, 6, 5.49, 'fail'],
  ])('of %d L, %d L out and %d L in, is %s', (capacityL, drainedL, addedL, verdict) => {
    expect(evaluateFill(fill({ drainedL, addedL }), { ...sheet, capacityL }).verdict).toBe(verdict);
  });

  it('counts the drainable volume when it came in low', () => {
    expect(evaluateFill(fill({ drainedL: 6, addedL: 6 }), sheet).verdict).toBe('pass');
    expect(evaluateFill(fill({ drainedL: 6, addedL: 6, cameInLow: true }), sheet).verdict).toBe('fail');
    expect(evaluateFill(fill({ drainedL: 6, addedL: 9.5, cameInLow: true }), sheet).verdict).toBe('pass');
    const unknown = evaluateFill(fill({ drainedL: 6, addedL: 6, cameInLow: true }), { capacityL: 14 });
    expect(unknown.verdict).toBe('inconclusive');
    expect(unknown.reasons.join()).toMatch(/drainable volume is not on the spec sheet/);
  });

  // By hand: 78 kPa of 101.325 kPa leaves 23.0 % of 33 L as air, 7.6 L.
  describe('by vacuum', () => {
    const vacuum = { vacuumKpa: 78, atmosphereKpa: 101.325 };
    const truck = { capacityL: 45, drainableL: 33, filledFromVacuum: vacuum };
    const judge = (more: Partial<FillReading>, around = {}) =>
      evaluateFill(fill({ drainedL: 33, addedL: 25.4, ...more }), { ...truck, ...around });

    it('never passes with the air that the vacuum left still in it', () => {
      expect(judge({ toppedUpToMark: true }).verdict).toBe('fail');
      expect(judge({ toppedUpToMark: true }).reasons[0]).toMatch(
        /^7.6 L less .*, though it was topped up to the mark: air is trapped\. Bleed it/,
      );
      expect(judge({ toppedUpToMark: false }).verdict).toBe('fail');
      expect(judge({ toppedUpToMark: false }).reasons[0]).toMatch(/Top it up before starting the engine/);
      const unsaid = judge({});
      expect(unsaid.verdict).toBe('inconclusive');
      expect(unsaid.reasons[0]).toMatch(
        /^7.6 L less .*; the vacuum leaves up to 7.6 L of air\. Top up to the mark before starting .* say whether it was topped up to the mark \(toppedUpToMark\)\.$/,
      );
      expect(unsaid.computed).toMatchObject({
        shortfall: { value: expect.closeTo(7.6, 9) },
        expectedAir: { value: expect.closeTo((33 * 23.325) / 101.325, 9) },
      });
    });

    // The larger of 0.5 L and 5 % of capacity: 2.25 L of 45 L.
    it.each([
      [30.75, 'pass'],
      [30.74, 'fail'],
    ])('and topped up to the mark with %d L in all is %s', (addedL, verdict) => {
      expect(judge({ addedL, toppedUpToMark: true }).verdict).toBe(verdict);
    });

    it('fails where more is missing than the vacuum can have left', () => {
      expect(judge({ addedL: 23 }).verdict).toBe('fail');
    });

    it('counts what the top-ups of the same job added', () => {
      expect(judge({ toppedUpToMark: true }, { toppedUpL: 7 }).verdict).toBe('pass');
      expect(judge({}, { toppedUpL: 7 }).computed.shortfall).toMatchObject({ value: expect.closeTo(0.6, 9) });
    });

    it('is cleared by the warm-up check', () => {
      expect(judge({}, { warmUp: warm }).verdict).toBe('pass');
    });
  });

  it('is cleared of trapped air by the warm-up check, and only by a whole one', () => {
    const short = fill({ addedL: 8 });
    expect(evaluateFill(short, sheet).reasons[0]).toMatch(/1.4 L less .* air is trapped/);
    expect(evaluateFill(short, { ...sheet, warmUp: warm }).verdict).toBe('pass');
    // Null means not fitted.
    expect(
      evaluateFill(short, { ...sheet, warmUp: { ...warm, heatAtVents: null, fanCycled: null } }).verdict,
    ).toBe('pass');
    for (const incomplete of [
      { heatAtVents: false },
      { thermostatOpened: null },
      { temperatureSteady: false },
      { levelAfterCooling: 'below-mark' },
      { levelAfterCooling: null },
    ] as const) {
      expect(evaluateFill(short, { ...sheet, warmUp: { ...warm, ...incomplete } }).verdict).toBe('fail');
    }
  });

  it('judges without a spec sheet, and cannot without knowing what came out', () => {
    expect(evaluateFill(fill()).verdict).toBe('pass');
    const unknown = evaluateFill(fill({ drainedL: null }));
    expect(unknown.verdict).toBe('inconclusive');
    expect(unknown.reasons[0]).toMatch(/How much was drained is not known/);
    expect(unknown.computed.shortfall).toBeNull();
  });

  it('doubts a volume that the system cannot hold, and refuses a negative one', () => {
    expect(evaluateFill(fill({ addedL: 93, drainedL: 93 }), sheet).verdict).toBe('inconclusive');
    expect(() => evaluateFill(fill({ addedL: -1 }))).toThrow(/added/);
    expect(() => evaluateFill(fill({ strengthPercent: 500 }))).toThrow(/strengthPercent/);
  });

  // By hand: 14 - 9.4 = 4.6 L of water stay; 9.3 L at 50 % on them is 33.45 %.
  it('doubts premix poured on the water that a flush left, and asks for the freeze point', () => {
    const result = evaluateFill(fill(), { ...sheet, stayedStrengthPercent: 0 });
    expect(result.verdict).toBe('inconclusive');
    expect(result.computed).toMatchObject({
      expectedStrengthPercent: expect.closeTo((9.3 * 50) / 13.9, 9),
      strengthCheckDue: true,
    });
    expect(result.reasons.join()).toMatch(/too weak\. Add neat concentrate and check the freeze point/);
    const read = evaluateFill(fill(), { ...sheet, stayedStrengthPercent: 0, freezePointRead: 'after' });
    expect([read.verdict, read.computed.strengthCheckDue]).toEqual(['pass', false]);
  });

  // By hand: 4.6 L at 40 % and 9.3 L at 50 % are 46.69 %; 6 L out of a system that came in low
  // leave 14 - 9.5 = 4.5 L.
  it('counts what stayed, capacity less what came out, at its strength', () => {
    const mixed = (more: Partial<FillReading>, around = {}) =>
      evaluateFill(fill(more), { ...sheet, ...around }).computed.expectedStrengthPercent;
    expect(mixed({}, { stayedStrengthPercent: 40 })).toBeCloseTo((4.6 * 40 + 9.3 * 50) / 13.9, 9);
    expect(mixed({ drainedL: 6, addedL: 9.5, cameInLow: true }, { stayedStrengthPercent: 0 })).toBeCloseTo(
      (9.5 * 50) / 14,
      9,
    );
    expect(mixed({ drainedL: null }, { stayedStrengthPercent: 0 })).toBeCloseTo((9.3 * 50) / 13.8, 9);
    // What the mechanic says comes before the records.
    expect(mixed({ stayedStrengthPercent: 50 }, { stayedStrengthPercent: 0 })).toBeCloseTo(50, 9);
    expect(mixed({})).toBeNull();
    expect(() => mixed({ stayedStrengthPercent: 101 })).toThrow(/stayedStrengthPercent/);
  });

  it('notes tap water', () => {
    const result = evaluateFill(fill({ tapWater: true }), sheet);
    expect(result.computed.tapWater).toBe(true);
    expect(result.reasons.join()).toMatch(/Tap water went in, .* emergency only/);
    expect(evaluateFill(fill(), sheet).reasons.join()).not.toMatch(/Tap water/);
  });

  it('fails when another base was poured in', () => {
    const result = evaluateFill(fill({ base: 'propylene-glycol' }), sheet);
    expect(result.verdict).toBe('fail');
    expect(result.computed.otherBase).toBe(true);
    expect(result.reasons[0]).toMatch(
      /^Coolant with propylene glycol was poured into a system with ethylene glycol\. Flush it and refill\. A drain alone leaves about a third/,
    );
    // A drain and refill leaves a third of what was poured in before; the flush is still to come.
    const refilled = evaluateFill(fill(), { ...sheet, basesSinceFlush: ['propylene-glycol'] });
    expect(refilled.computed.otherBase).toBe(true);
    expect(refilled.reasons[0]).toBe(
      'There is still propylene glycol in the system; a drain does not get it out. Flush, then refill. No freeze-point reading counts until then.',
    );
  });

  it('follows its definition', () => {
    const fillOf = (drainedL: number | null, cameInLow: boolean) =>
      shortfallL({ drainedL, drainableL: 9.5, cameInLow, addedL: 8 });
    expect(fillOf(9.4, false)).toBeCloseTo(1.4, 9);
    expect(fillOf(6, true)).toBeCloseTo(1.5, 9);
    expect(fillOf(null, true)).toBeCloseTo(1.5, 9);
    expect(fillOf(null, false)).toBeNull();
  });
});

describe('pouring in', () => {
  const system = { base: 'ethylene-glycol', technology: 'OAT', capacityL: 12, earlier: [] } as const;

  // Above 10 % of capacity in total (common practice): 1.2 L of 12 L.
  it('another technology is a caution, and shortens the coolant life above 10 % of capacity in total', () => {
    const poured = { base: 'ethylene-glycol', technology: 'IAT', volumeL: 1 } as const;
    const first = pouringConsequences(poured, system);
    expect(first.shortensLife).toBe(false);
    expect(english(first.cautions[0]!)).toMatch(/IAT coolant was poured into a system meant for OAT/);
    const second = pouringConsequences(poured, { ...system, earlier: [poured] });
    expect(english(second.cautions[0]!)).toMatch(/\(16\.67 % of capacity in total\)/);
    expect(second.shortensLife).toBe(true);
    expect(second.fails).toEqual([]);
  });

  it('water, or the same coolant, has no consequence', () => {
    for (const base of ['ethylene-glycol', null] as const) {
      const none = pouringConsequences({ base, technology: base && 'OAT', volumeL: 5 }, system);
      expect(none).toEqual({ otherBase: false, shortensLife: false, fails: [], cautions: [], basis: [] });
    }
  });

  it('another base is found against what was poured in earlier, too', () => {
    const earlier = [{ base: 'propylene-glycol', technology: null, volumeL: 1 }] as const;
    const poured = { base: 'ethylene-glycol', technology: null, volumeL: 1 } as const;
    expect(
      pouringConsequences(poured, { base: null, technology: null, capacityL: null, earlier }).otherBase,
    ).toBe(true);
  });
});

describe('coolant condition', () => {
  // Heavy-duty IAT: pH 8.5 to 10.5, SCA 1.5 to 3.0 units per US gallon (common practice).
  it.each([
    [{ pH: 8.5, scaUnitsPerGallon: 1.5 }, 'pass'],
    [{ pH: 10.5, scaUnitsPerGallon: 3 }, 'pass'],
    [{ pH: 8.4 }, 'fail'],
    [{ pH: 10.6 }, 'fail'],
    [{ scaUnitsPerGallon: 1.4 }, 'fail'],
    [{ scaUnitsPerGallon: 3.1 }, 'fail'],
  ])('%j of a heavy-duty IAT coolant is %s', (values, verdict) => {
    const result = evaluateCoolantCondition({ kind: 'coolant-condition', ...values }, { technology: 'IAT' });
    expect(result.verdict).toBe(verdict);
    expect(result.basis.join()).toMatch(/common practice, heavy-duty IAT/);
  });

  it("uses the sheet's limits before the defaults", () => {
    const limits = { pHMin: 7.5, pHMax: 9, nitriteMinMgPerL: 800, reserveAlkalinityMinMl: 4 };
    const judge = (values: object) =>
      evaluateCoolantCondition({ kind: 'coolant-condition', ...values }, { technology: 'IAT', limits })
        .verdict;
    expect(judge({ pH: 8 })).toBe('pass');
    expect(judge({ pH: 9.5 })).toBe('fail');
    expect(judge({ nitriteMgPerL: 500 })).toBe('fail');
    expect(judge({ reserveAlkalinityMl: 3 })).toBe('fail');
    expect(judge({ reserveAlkalinityMl: 5, nitriteMgPerL: 900 })).toBe('pass');
  });

  it.each([
    ['clear', 'pass'],
    ['cloudy', 'inconclusive'],
    ['rusty', 'fail'],
    ['oily', 'fail'],
    ['particles', 'fail'],
  ] as const)('that looks %s is %s', (appearance, verdict) => {
    expect(evaluateCoolantCondition({ kind: 'coolant-condition', appearance }).verdict).toBe(verdict);
  });

  it('has no verdict without limits, and refuses an impossible pH', () => {
    const unknown = evaluateCoolantCondition({ kind: 'coolant-condition', pH: 8 }, { technology: 'OAT' });
    expect(unknown.verdict).toBeNull();
    expect(unknown.reasons[0]).toMatch(/Give limits on the spec sheet/);
    expect(() => evaluateCoolantCondition({ kind: 'coolant-condition', pH: 15 })).toThrow(/pH/);
    expect(() => evaluateCoolantCondition({ kind: 'coolant-condition', nitriteMgPerL: -1 })).toThrow(
      /nitrite/,
    );
  });
});
