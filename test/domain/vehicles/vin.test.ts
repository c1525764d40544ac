import fc from 'fast-check';
import { vinFault } from '../../../src/domain/vehicles/vin.js';

describe('the VIN check digit', () => {
  // From memory, the customary self-check of 49 CFR 565.15(c): the weights add up to 89, and 89 mod 11 is 1.
  it('accepts seventeen ones', () => expect(vinFault('1'.repeat(17))).toBeNull());

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
