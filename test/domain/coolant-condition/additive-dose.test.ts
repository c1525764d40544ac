import { additiveDose, doseTarget } from '../../../src/domain/coolant-condition/additive-dose.js';
import { convert } from '../../../src/domain/quantities/units.js';

const GALLON = convert(1, 'gal', 'L');
const PINT = {
  product: 'liquid SCA',
  amount: { value: 1, unit: 'pt' },
  treatsL: GALLON,
  raisesScaUnitsPerGallon: 10,
} as const;

describe('dose of additive', () => {
  it('is told in the unit on the bottle, rounded up to what can be measured out', () => {
    // 10 US gallons from 0.5 to 2.25 units per gallon lack 17.5 units; a pint holds 10. By hand.
    const dose = additiveDose(PINT, 'sca', { measured: 0.5, target: 2.25 }, 10 * GALLON);
    expect(dose).toMatchObject({
      amount: { value: 1.75, unit: 'pt' },
      inWords: '2 pt',
      product: 'liquid SCA',
    });
    expect(dose?.amountL).toBeCloseTo(1.75 * convert(1, 'pt', 'L'), 9);
  });

  it('brings nitrite to a quarter above its least by a bottle in millilitres', () => {
    // 500 mL raise 20 L by 400 mg/L; 40 L from 175 to 375 mg/L: 500 mL. By hand.
    const bottle = { amount: { value: 500, unit: 'mL' }, treatsL: 20, raisesNitriteMgPerL: 400 } as const;
    const dose = additiveDose(bottle, 'nitrite', { measured: 175, target: doseTarget(300, null) }, 40);
    expect(dose).toMatchObject({ amount: { value: 500, unit: 'mL' }, inWords: '500 mL' });
  });

  it('is none where nothing is missing, or the bottle does not say what it raises', () => {
    expect(additiveDose(PINT, 'sca', { measured: 2.25, target: 2.25 }, 40)).toBeNull();
    expect(additiveDose(PINT, 'nitrite', { measured: 0, target: 800 }, 40)).toBeNull();
    expect(() => additiveDose(PINT, 'sca', { measured: 0, target: 2 }, 0)).toThrow(/capacity/);
  });

  it('aims at the middle of two limits', () => {
    expect(doseTarget(1.5, 3)).toBe(2.25);
  });

  it('is told in a smaller unit where the marks are coarse beside it', () => {
    const amount = { value: 1, unit: 'gal' } as const;
    const bottle = { amount, treatsL: 378.5411784, raisesScaUnitsPerGallon: 3 };
    // By hand: (2.25 − 0.5) / 3 × 12 / 100 = 0.07 gal, 8.96 fl oz; a quarter of a gallon would be
    // 3.6 times that.
    const dose = additiveDose(bottle, 'sca', { measured: 0.5, target: 2.25 }, 12 * 3.785411784);
    expect(dose?.amount.value).toBeCloseTo(0.07, 9);
    expect(dose?.inWords).toBe('9 fl oz');
  });
});
