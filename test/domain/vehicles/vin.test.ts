import fc from 'fast-check';
import { vinFault as faultOf } from '../../../src/domain/vehicles/vin.js';
import { english } from '../../support/english.js';

const vinFault = (...given: Parameters<typeof faultOf>) => {
  const fault = faultOf(...given);
  return fault && { ...fault, detail: english(fault.detail) };
};

describe('the VIN check digit', () => {
  // From memory, the customary self-check of 49 CFR 565.15(c): the weights add up to 89, and 89 mod
  // 11 is 1.
  it('accepts seventeen ones', () => expect(vinFault('1'.repeat(17))).toBeNull());

  it.each([
    // 49 CFR 565.15(c), the sample calculation of a check digit: the products add up to 411, which
    // leaves 4.
    ['1G4AH59H45G118341', 'the sample of the regulation'],
    // NHTSA, Outline for New Manufacturer Information: the products add up to 314, which leaves 6.
    ['1J9RP1A36A1644345', "the sample of the regulator's guide"],
    // From memory, the customary example of a remainder of ten; checked by hand: the products add
    // up to 351 = 31 × 11 + 10.
    ['1M8GDM9AXKP042788', 'a remainder of ten, written as X'],
  ])('accepts %s, %s, and no other digit in its place', (vin) => {
    expect(vinFault(vin)).toBeNull();
    for (const digit of '0123456789X') {
      const other = `${vin.slice(0, 8)}${digit}${vin.slice(9)}`;
      if (other !== vin)
        expect(vinFault(other)).toEqual({
          isNotice: false,
          detail: expect.stringContaining(`ask for ${vin.charAt(8)}`),
        });
    }
  });

  it('notices any one changed digit', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 16 }), fc.constantFrom('0', '2', '5', '9'), (position, digit) => {
        expect(vinFault(`${'1'.repeat(position)}${digit}${'1'.repeat(16 - position)}`)).not.toBeNull();
      }),
    );
  });

  // ISO 3780, from memory: 1 to 5 are North America, 7F to 7Z and 70 the United States; 6
  // Australia, 7A to 7E New Zealand, 8 and 9 South America, letters elsewhere.
  it.each([
    ['1', false],
    ['2', false],
    ['3', false],
    ['4', false],
    ['5', false],
    ['7F', false],
    ['7S', false],
    ['70', false],
    ['6', true],
    ['7A', true],
    ['71', true],
    ['9', true],
    ['J', true],
    ['K', true],
    ['W', true],
    ['Z', true],
  ])('is a matter of %s…: a notice alone, %s', (start, isNotice) => {
    // A Z stands where the digit would be.
    const wrong = `${start}${'1'.repeat(8 - start.length)}Z${'1'.repeat(8)}`;
    expect(vinFault(wrong)?.isNotice).toBe(isNotice);
    expect(vinFault(wrong)?.detail).toMatch(/^has the check digit Z at position 9 where the others ask for/);
  });

  it('is not asked of anyone before model year 1981, nor are seventeen characters', () => {
    const wrong = '11111111211111111';
    expect([1980, 1981, null].map((year) => vinFault(wrong, year)?.isNotice)).toEqual([true, false, false]);
    expect([1980, 1981].map((year) => vinFault('4V37H412345', year)?.isNotice)).toEqual([true, false]);
  });

  it('names the position of a letter that no VIN has', () => {
    expect(vinFault('1111O111111111111')).toEqual({
      isNotice: false,
      detail: expect.stringContaining('"O" at position 5'),
    });
  });

  it('points a machine’s number, which is shorter or fails, to the field that is its own', () => {
    for (const text of ['AB123456', '1XY350KTLPF412345'])
      expect(vinFault(text)?.detail).toMatch(/serialNumber/);
  });
});
