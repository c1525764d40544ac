import { evaluateCoolantCondition } from '../../../src/domain/coolant/coolant-condition.js';
import { evaluateFill, shortfallL, type FillReading } from '../../../src/domain/coolant/fill.js';
import { pouringConsequences } from '../../../src/domain/coolant/mixing.js';
import type { WarmUpCheckReading } from '../../../src/domain/checks/warm-up-check.js';

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

  // By hand: 24 inHg at sea level leaves 0.19789 of 9.4 L as air, 1.86 L.
  it('expects the air that a vacuum fill leaves, and says how much to top up', () => {
    const vacuumFill = { filledFromVacuum: { vacuumKpa: 81.27332737, atmosphereKpa: 101.325 } };
    expect(evaluateFill(fill({ addedL: 7.5 }), sheet).verdict).toBe('fail');
    const result = evaluateFill(fill({ addedL: 7.5 }), { ...sheet, ...vacuumFill });
    expect(result.verdict).toBe('pass');
    expect(result.reasons.join()).toMatch(/Top up after warm-up: up to 1.86 L/);
    expect(evaluateFill(fill({ addedL: 6.8 }), { ...sheet, ...vacuumFill }).verdict).toBe('fail');
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

  // By hand: 9.3 L at 50 % on 4.7 L of water is 33.2 %.
  it('warns of premix poured on the water that a flush left', () => {
    const result = evaluateFill(fill(), { ...sheet, stayedStrengthPercent: 0 });
    expect(result.computed.expectedStrengthPercent).toBeCloseTo((9.3 * 50) / 14, 9);
    expect(result.reasons.join()).toMatch(/too weak: add neat concentrate/);
  });

  it('fails when another base was poured in', () => {
    const result = evaluateFill(fill({ base: 'propylene-glycol' }), sheet);
    expect(result.verdict).toBe('fail');
    expect(result.computed.otherBase).toBe(true);
    expect(result.reasons[0]).toMatch(
      /^Propylene glycol was poured into a system with ethylene glycol: replace the coolant/,
    );
  });

  it('follows its definition', () => {
    expect(
      shortfallL({ drainedL: 9.4, drainableL: 9.5, cameInLow: false, addedL: 8, expectedAirL: 0.3 }),
    ).toBeCloseTo(1.1, 9);
    expect(
      shortfallL({ drainedL: 6, drainableL: 9.5, cameInLow: true, addedL: 8, expectedAirL: 0 }),
    ).toBeCloseTo(1.5, 9);
  });
});

describe('pouring in', () => {
  const system = { base: 'ethylene-glycol', technology: 'OAT', capacityL: 12, earlier: [] } as const;

  // Above 10 % of capacity in total (common practice): 1.2 L of 12 L.
  it('another technology is a caution, and shortens the coolant life above 10 % of capacity in total', () => {
    const poured = { base: 'ethylene-glycol', technology: 'IAT', volumeL: 1 } as const;
    const first = pouringConsequences(poured, system);
    expect(first.shortensLife).toBe(false);
    expect(first.cautions[0]).toMatch(/IAT coolant was poured into a system meant for OAT/);
    const second = pouringConsequences(poured, { ...system, earlier: [poured] });
    expect(second.otherTechnologyShare).toBeCloseTo(2 / 12, 9);
    expect(second.shortensLife).toBe(true);
    expect(second.fails).toEqual([]);
  });

  it('water, or the same coolant, has no consequence', () => {
    for (const base of ['ethylene-glycol', null] as const) {
      const none = pouringConsequences({ base, technology: base && 'OAT', volumeL: 5 }, system);
      expect(none).toMatchObject({ otherBase: false, otherTechnology: false, fails: [], cautions: [] });
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
    expect(unknown.reasons[0]).toMatch(/give limits on the spec sheet/);
    expect(() => evaluateCoolantCondition({ kind: 'coolant-condition', pH: 15 })).toThrow(/pH/);
    expect(() => evaluateCoolantCondition({ kind: 'coolant-condition', nitriteMgPerL: -1 })).toThrow(
      /nitrite/,
    );
  });
});
