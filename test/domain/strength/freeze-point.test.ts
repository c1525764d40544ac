import fc from 'fast-check';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import {
  calculateFreezePoint as calculated,
  evaluateFreezePoint as evaluated,
  type FreezePointReading,
} from '../../../src/domain/strength/freeze-point.js';
import { inEnglish } from '../../support/english.js';
import { refusalText } from '../../support/refusal.js';

const calculateFreezePoint = (...given: Parameters<typeof calculated>) => inEnglish(calculated(...given));
const evaluateFreezePoint = (...given: Parameters<typeof evaluated>) => inEnglish(evaluated(...given));

function read(value: number, more: Partial<FreezePointReading> = {}): FreezePointReading {
  return {
    kind: 'freeze-point',
    base: 'ethylene-glycol',
    scale: 'ethylene-glycol',
    method: 'refractometer',
    value,
    unit: 'C',
    ...more,
  };
}

describe('freeze point: the verdict', () => {
  // Refractometer ±1 °C (ASTM D3321), margin 3 °C (common practice): for -30 °C it must read -34 or
  // colder, and fails above -32.
  it.each([
    [-36, 'pass'],
    [-34, 'pass'],
    [-33.9, 'inconclusive'],
    [-32, 'inconclusive'],
    [-31.9, 'fail'],
  ])('a refractometer at %d °C for a lowest temperature of -30 °C is %s', (value, verdict) => {
    expect(evaluateFreezePoint(read(value), { designLowTemperatureC: -30 }).verdict).toBe(verdict);
  });

  // Hydrometer and strip ±5 °C (common practice).
  it.each(['hydrometer', 'test-strip'] as const)('a %s needs more room', (method) => {
    expect(evaluateFreezePoint(read(-34, { method }), { designLowTemperatureC: -30 }).verdict).toBe(
      'inconclusive',
    );
    expect(evaluateFreezePoint(read(-38, { method }), { designLowTemperatureC: -30 }).verdict).toBe('pass');
    expect(evaluateFreezePoint(read(-36, { method }), { designLowTemperatureC: -30 }).basis.join()).toMatch(
      /±5 °C \(k = 2\), common practice/,
    );
  });

  // At least 40 volume % (ASTM D6210 covers 40 to 60): -24.8 °C for ethylene glycol.
  it.each([
    [-23, 'fail'],
    [-24.5, 'inconclusive'],
    [-25.5, 'inconclusive'],
    [-26, 'pass'],
  ])('a mild climate does not excuse a weak coolant: %d °C is %s', (value, verdict) => {
    const result = evaluateFreezePoint(read(value), { designLowTemperatureC: 0 });
    expect(result.verdict).toBe(verdict);
    if (verdict === 'fail') expect(result.reasons[0]).toMatch(/Too weak: .*At least 40/);
  });

  it("fails above the sheet's greatest strength", () => {
    const limits = { designLowTemperatureC: -20, strengthMaxPercent: 50 };
    expect(evaluateFreezePoint(read(-39), limits).reasons[0]).toMatch(/Too strong/);
    expect(evaluateFreezePoint(read(-39), limits).verdict).toBe('fail');
    expect(evaluateFreezePoint(read(-37), limits).verdict).toBe('inconclusive');
    expect(evaluateFreezePoint(read(-35.5), limits).verdict).toBe('pass');
  });

  it('extrapolates nothing: beyond the table it is "or colder", and the strength "more than"', () => {
    const result = evaluateFreezePoint(read(-55), { designLowTemperatureC: -30 });
    expect(result.verdict).toBe('inconclusive');
    expect(result.reasons.join()).toMatch(/-48.3 °C or colder, more than 57.8 volume %/);
    expect(result.reasons.join()).toMatch(/Mix a sample with the same amount/);
    expect(result.computed).toMatchObject({
      freezePoint: { measure: 'temperature', value: -48.3 },
      strengthVolumePercent: 57.8,
      beyondTable: true,
    });
    // The table of propylene glycol ends at the 60 % that are allowed.
    const strong = read(-55, { base: 'propylene-glycol', scale: 'propylene-glycol' });
    expect(evaluateFreezePoint(strong, { designLowTemperatureC: -30 }).verdict).toBe('fail');
    expect(evaluateFreezePoint(read(-55), { designLowTemperatureC: -50 }).reasons.join()).toMatch(
      /where the table ends/,
    );
  });

  // The ethylene scale on propylene glycol reads about 10 °C too good (ASTM D3321, scope: 18 °F and
  // more).
  it('never passes on a scale for another base, and fails where even that flattering scale is not enough', () => {
    const wrong = { base: 'propylene-glycol', scale: 'ethylene-glycol' } as const;
    const good = evaluateFreezePoint(read(-45, wrong), { designLowTemperatureC: -20 });
    expect(good.verdict).toBe('inconclusive');
    expect(good.reasons[0]).toMatch(/scale for ethylene glycol, but the coolant is propylene glycol/);
    expect(good.computed.strengthVolumePercent).toBeNull();
    expect(evaluateFreezePoint(read(-15, wrong), { designLowTemperatureC: -20 }).verdict).toBe('fail');
    const reversed = read(-15, { scale: 'propylene-glycol' });
    expect(evaluateFreezePoint(reversed, { designLowTemperatureC: -20 }).verdict).toBe('inconclusive');
  });

  it('cannot read a mixture of bases', () => {
    const result = evaluateFreezePoint(read(-45), {
      designLowTemperatureC: -20,
      basesInSystem: ['propylene-glycol'],
    });
    expect(result.verdict).toBe('inconclusive');
    expect(result.reasons[0]).toMatch(/no scale reads a mixture of bases\. Flush the system/);
    expect(evaluateFreezePoint(read(-45), { base: 'propylene-glycol' }).verdict).toBe('inconclusive');
  });

  it('has no verdict without a lowest temperature, unless the strength itself is wrong', () => {
    const unknown = evaluateFreezePoint(read(-36));
    expect(unknown.verdict).toBeNull();
    expect(unknown.reasons.join()).toMatch(/No lowest temperature is known/);
    expect(evaluateFreezePoint(read(-10)).verdict).toBe('fail');
  });

  it("takes the sheet's base when none is given, and says so", () => {
    const { basis, computed } = evaluateFreezePoint(read(-25, { base: null, scale: null }), {
      base: 'propylene-glycol',
    });
    expect(basis[0]).toMatch(/propylene glycol by the spec sheet/);
    expect(computed.strengthVolumePercent).toBeCloseTo(43.24, 2);
    expect(evaluateFreezePoint(read(-25, { base: null })).basis[0]).toMatch(/taken as ethylene glycol/);
  });

  it('takes a reading above 0 °C as plain water, and says so', () => {
    const result = evaluateFreezePoint(read(1), { designLowTemperatureC: -20 });
    expect(result.verdict).toBe('fail');
    expect(result.reasons.join()).toMatch(
      /showed 1 °C, above the freezing point of water: taken as plain water/,
    );
  });

  it('speaks in the unit that was typed', () => {
    const result = evaluateFreezePoint(read(-36.6667, { unit: 'F' }), { designLowTemperatureC: -40 });
    expect(result.reasons[0]).toMatch(
      /-34 °F ±1.8 °F; needed -45.4 °F \(lowest temperature -40 °F less 5.4 °F\)/,
    );
  });

  it('never judges a colder freeze point worse for protection', () => {
    const rank = { pass: 0, inconclusive: 1, fail: 2 };
    const value = fc.double({ min: -45, max: -27, noNaN: true });
    fc.assert(
      fc.property(value, value, (first, second) => {
        const verdictOf = (freezePointC: number) =>
          evaluateFreezePoint(read(freezePointC), { designLowTemperatureC: -30 }).verdict!;
        expect(rank[verdictOf(Math.min(first, second))]).toBeLessThanOrEqual(
          rank[verdictOf(Math.max(first, second))],
        );
      }),
    );
  });
});

describe('freeze point: ways of reading', () => {
  // ASHRAE Handbook Fundamentals 2001; CRC Handbook 102nd ed. for index and Brix (equal to 40 mass
  // %).
  it.each([
    ['volume-percent', 50, '%', -37, 50, 52.4],
    ['refractive-index', 1.3728, 'nD', -22.3, 37.5, 40],
  ] as const)('%s %d', (method, value, unit, freezePoint, volume, mass) => {
    const { computed, basis } = calculateFreezePoint({ base: 'ethylene-glycol', method, value, unit });
    expect(computed.freezePoint).toEqual({ measure: 'temperature', value: expect.closeTo(freezePoint, 6) });
    expect(computed.strengthVolumePercent).toBeCloseTo(volume, 6);
    expect(computed.strengthMassPercent).toBeCloseTo(mass, 6);
    expect(computed.table).toBe('ASHRAE-2001');
    expect(basis.join()).toMatch(/ASHRAE Handbook Fundamentals 2001.*ethylene glycol/);
  });

  it('brix 25.26', () => {
    const result = calculateFreezePoint({
      base: 'ethylene-glycol',
      method: 'brix',
      value: 25.26,
      unit: 'Brix',
    });
    expect(Math.abs((result.computed.strengthMassPercent as number) - 40)).toBeLessThan(0.2);
    expect(result.basis.join()).toMatch(/CRC Handbook/);
  });

  it('has no table for the refraction of propylene glycol, and says what to do', () => {
    const result = calculateFreezePoint({
      base: 'propylene-glycol',
      method: 'brix',
      value: 30,
      unit: 'Brix',
      designLowTemperatureC: -10,
    });
    expect(result.verdict).toBe('inconclusive');
    expect(result.reasons[0]).toMatch(/Read its freeze point on a scale for propylene glycol/);
  });

  // ASHRAE's tables end at 57.8 and 60 volume %. ±1 °C is worth 0.83 % at the end of the one (57.8
  // less 57.8 - 1/1.2), 0.48 % at that of the other.
  it.each([
    ['ethylene-glycol', 'volume-percent', 58, '%', 'inconclusive', 58],
    ['ethylene-glycol', 'volume-percent', 60.5, '%', 'inconclusive', 60.5],
    ['ethylene-glycol', 'volume-percent', 61, '%', 'fail', 61],
    ['ethylene-glycol', 'volume-percent', 100, '%', 'fail', 100],
    ['propylene-glycol', 'volume-percent', 61, '%', 'fail', 61],
    // A straight line from 60 mass % (1.3931, CRC) to neat glycol (1.4318), by hand: 98.14 mass %,
    // 97.97 volume %.
    ['ethylene-glycol', 'refractive-index', 1.43, 'nD', 'fail', 97.97],
    ['ethylene-glycol', 'refractive-index', 1.436, 'nD', 'fail', 100],
    // 55 Brix is nD 1.4307 (from memory, sucrose tables at 20 °C): 98.86 mass %, 98.8 volume %.
    ['ethylene-glycol', 'brix', 55, 'Brix', 'fail', 98.8],
  ] as const)(
    'judges the strength of %s by %s %d %s beyond the table, of which only the freeze point is not known: %s',
    (base, method, value, unit, verdict, percent) => {
      const result = calculateFreezePoint({ base, method, value, unit, designLowTemperatureC: -20 });
      expect(result.verdict).toBe(verdict);
      expect(result.computed).toMatchObject({ freezePoint: null, beyondTable: true });
      expect(Math.abs((result.computed.strengthVolumePercent as number) - percent)).toBeLessThan(0.5);
      expect(result.reasons.join()).toMatch(/freeze point is not known: the table ends at/);
      if (verdict === 'fail')
        expect(result.reasons[0]).toMatch(
          /^Too strong: .*, at most 60\. Drain some and replace it with demineralised or distilled water/,
        );
    },
  );

  it("holds a strength beyond the table against the sheet's limit", () => {
    const limits = { strengthMaxPercent: 70 };
    const percent = (value: number) =>
      evaluateFreezePoint(read(value, { method: 'volume-percent', unit: '%' }), limits);
    expect(percent(68).verdict).toBeNull();
    expect(percent(68).reasons[0]).toBe('Read as 68 volume %.');
    expect(percent(69.5).verdict).toBe('inconclusive');
    expect(percent(75).verdict).toBe('fail');
  });

  it('judges against a lowest temperature as a calculator', () => {
    const input = {
      base: 'ethylene-glycol',
      scale: 'ethylene-glycol',
      method: 'refractometer',
      value: -36,
      unit: 'C',
    } as const;
    expect(calculateFreezePoint({ ...input, designLowTemperatureC: -30 }).verdict).toBe('pass');
    expect(calculateFreezePoint({ ...input, designLowTemperatureC: -40 }).verdict).toBe('fail');
    expect(refusalText(() => calculateFreezePoint({ ...input, value: 36 }))).toMatch(/Was it -36 °C/);
    expect(() => calculateFreezePoint({ ...input, value: Number.NaN })).toThrow(ImpossibleValue);
  });
});
