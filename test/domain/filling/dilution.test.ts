import fc from 'fast-check';
import { coolantToBring } from '../../../src/domain/filling/coolant-to-bring.js';
import {
  calculateDilution as dilution,
  drainToReach,
  strengthAfterAdding,
} from '../../../src/domain/filling/dilution.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { inEnglish } from '../../support/english.js';
import { refusalText } from '../../support/refusal.js';

const calculateDilution = (...given: Parameters<typeof dilution>) => inEnglish(dilution(...given));

describe('dilution', () => {
  // 10 qt at 30 %, refilled with 100 % to reach 65 %: an algebra answer page; 16 L by hand.
  it.each([
    [10, 30, 100, 65, 5],
    [16, 52, 100, 70, 6],
  ])('%d at %d %%, refilled at %d %% to %d %%: drain %d', (capacity, now, refill, target, expected) => {
    expect(drainToReach(capacity, now, refill, target)).toBeCloseTo(expected, 9);
  });

  // By hand: 12 L at 30 %, four drains of 4 L refilled at 50 %.
  it.each([
    [0, 30],
    [1, 36.6666666667],
    [2, 41.1111111111],
    [3, 44.0740740741],
    [4, 46.049382716],
  ])('after %d drains of a third it is %d %%', (drains, expected) => {
    let strengthPercent = 30;
    for (let drain = 0; drain < drains; drain++)
      strengthPercent = strengthAfterAdding(12 - 4, strengthPercent, 4, 50);
    expect(strengthPercent).toBeCloseTo(expected, 9);
  });

  it('is one sum, whichever way it is asked', () => {
    const percent = fc.double({ min: 0, max: 100, noNaN: true });
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 60, noNaN: true }),
        percent,
        percent,
        fc.double({ min: 0, max: 1, noNaN: true }),
        (capacity, now, refill, share) => {
          fc.pre(Math.abs(refill - now) > 1);
          const target = now + share * (refill - now);
          const drain = drainToReach(capacity, now, refill, target);
          expect(strengthAfterAdding(capacity - drain, now, drain, refill)).toBeCloseTo(target, 6);
        },
      ),
    );
  });

  // By hand: 0.5 L of water on 11.5 L at 50 %.
  it('weakens by a top-up with water', () => {
    expect(strengthAfterAdding(11.5, 50, 0.5, 0)).toBeCloseTo(47.9166666667, 9);
  });

  it('refuses a target that the refill cannot reach, with the reason', () => {
    expect(refusalText(() => drainToReach(12, 30, 50, 60))).toMatch(
      /60 % cannot be reached from 30 % .* at least as strong/,
    );
    expect(refusalText(() => drainToReach(12, 60, 50, 40))).toMatch(/at least as weak/);
    expect(() => drainToReach(12, 50, 50, 55)).toThrow(ImpossibleValue);
    expect(() => drainToReach(0, 30, 50, 40)).toThrow(/capacity/);
    expect(() => drainToReach(12, 30, 150, 40)).toThrow(/refillStrength/);
    expect(drainToReach(12, 50, 50, 50)).toBe(0);
  });

  it('answers as a calculator in the unit that was typed', () => {
    const result = calculateDilution({
      capacityL: 10 * 0.946352946,
      strengthPercent: 30,
      refillStrengthPercent: 100,
      targetStrengthPercent: 65,
      unit: 'qt',
    });
    expect(result.verdict).toBeNull();
    expect(result.computed).toEqual({
      drain: { measure: 'volume', value: expect.closeTo(5 * 0.946352946, 9) },
      resultStrengthPercent: expect.closeTo(65, 9),
    });
    expect(result.reasons[0]).toMatch(/Drain 5 qt of 10 qt/);
  });
});

describe('coolant to bring', () => {
  // By hand; after a water flush neat concentrate of capacity times target (common practice, no
  // source).
  it('is neat concentrate after a water flush', () => {
    const fill = { capacityL: 14, staysL: 4.5, staysStrengthPercent: 0, targetStrengthPercent: 50 };
    expect(coolantToBring(fill)).toMatchObject({ concentrateL: 7, waterL: 2.5 });
  });

  it('counts the coolant that stays', () => {
    const fill = { capacityL: 14, staysL: 4.5, staysStrengthPercent: 50, targetStrengthPercent: 50 };
    expect(coolantToBring(fill)).toMatchObject({ concentrateL: 4.75, waterL: 4.75 });
  });

  it('reaches the target it was worked out for', () => {
    const share = fc.double({ min: 0.01, max: 0.4, noNaN: true });
    fc.assert(
      fc.property(
        fc.double({ min: 4, max: 60, noNaN: true }),
        share,
        fc.double({ min: 0, max: 60, noNaN: true }),
        (capacityL, stays, staysStrengthPercent) => {
          const staysL = capacityL * stays;
          const { concentrateL, waterL } = coolantToBring({
            capacityL,
            staysL,
            staysStrengthPercent,
            targetStrengthPercent: 50,
          });
          expect(concentrateL + waterL + staysL).toBeCloseTo(capacityL, 9);
          expect((100 * concentrateL + staysStrengthPercent * staysL) / capacityL).toBeCloseTo(50, 6);
        },
      ),
    );
  });

  it('refuses when too little drains out', () => {
    const fill = { capacityL: 14, staysL: 8, staysStrengthPercent: 0, targetStrengthPercent: 50 };
    expect(refusalText(() => coolantToBring(fill))).toMatch(/Drain the block and heater too/);
    expect(refusalText(() => coolantToBring({ ...fill, staysL: 15 }))).toMatch(/more than the system holds/);
    expect(
      refusalText(() => coolantToBring({ ...fill, staysStrengthPercent: 100, targetStrengthPercent: 40 })),
    ).toMatch(/already too strong/);
  });
});
