import fc from 'fast-check';
import { vinFault } from '../../../src/domain/vehicles/vin.js';

describe('the VIN check digit', () => {
  // From memory, the customary self-check of 49 CFR 565.15(c): the weights add up to 89, and 89 mod 11 is 1.
  it('accepts seventeen ones', () => expect(vinFault('1'.repeat(17))).toBeNull());

  it.each([
    // 49 CFR 565.15(c), the sample calculation of a check digit: the products add up to 411, which leaves 4.
    ['1G4AH59H45G118341', 'the sample of the regulation'],
    // NHTSA, Outline for New Manufacturer Information: the products add up to 314, which leaves 6.
    ['1J9RP1A36A1644345', "the sample of the regulator's guide"],
    // From memory, the customary example of a remainder of ten; checked by hand: the products add up to 351 = 31 × 11 + 10.
    ['1M8GDM9AXKP042788', 'a remainder of ten, written as X'],
  ])('accepts %s, %s, and no other digit in its place', (vin) => {
    expect(vinFault(vin)).toBeNull();
    for (const digit of '0123456789X') {
      const other = `${vin.slice(0, 8)}${digit}${vin.slice(9)}`;
      if (other !== vin) expect(vinFault(other)).toContain(`ask for ${vin.charAt(8)}`);
    }
  });

  it('notices any one changed digit', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 16 }), fc.constantFrom('0', '2', '5', '9'), (position, digit) => {
        expect(vinFault(`${'1'.repeat(position)}${digit}${'1'.repeat(16 - position)}`)).not.toBeNull();
      }),
    );
  });

  it('names the position of a letter that no VIN has', () => {
    expect(vinFault('1111O111111111111')).toContain('"O" at position 5');
  });
});
