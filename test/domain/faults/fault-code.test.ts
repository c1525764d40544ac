import fc from 'fast-check';
import { faultCodeIn, faultCodeText } from '../../../src/domain/faults/fault-code.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { english } from '../../support/english.js';

const refused = (text: string): string => {
  try {
    faultCodeIn(text);
  } catch (error) {
    if (error instanceof ImpossibleValue) return english(error.detail);
    throw error;
  }
  return 'accepted';
};

// SAE J1939-73: 19 bits of SPN, 5 of FMI. SAE J2012 / ISO 15031-6: a letter and four digits.
describe('a fault code as it is typed', () => {
  it.each([
    ['SPN 110 FMI 0', 'SPN 110 FMI 0'],
    [' spn110/fmi0 ', 'SPN 110 FMI 0'],
    ['SPN: 110, FMI: 16', 'SPN 110 FMI 16'],
    ['FMI 1 SPN 111', 'SPN 111 FMI 1'],
    ['110/0', 'SPN 110 FMI 0'],
    ['110 - 15', 'SPN 110 FMI 15'],
    ['SPN 524287 FMI 31', 'SPN 524287 FMI 31'],
    ['p0217', 'P0217'],
    ['P00B7', 'P00B7'],
    ['u3fff', 'U3FFF'],
  ])('%s is %s', (typed, expected) => {
    expect(faultCodeText(faultCodeIn(typed))).toBe(expected);
  });

  it.each<readonly [string, string]>([
    ['SPN 110', 'The FMI is missing: write both, such as SPN 110 FMI 0.'],
    ['110', 'The FMI is missing: write both, such as SPN 110 FMI 0.'],
    ['SPN 524288 FMI 0', 'SPN 524,288 does not exist: it goes up to 524,287.'],
    ['SPN 110 FMI 32', 'FMI 32 does not exist: it goes up to 31.'],
    ...['', 'P021', 'P0217-00', 'P4217', 'X0217', 'overheated', 'SPN -1 FMI 0', '110.0'].map(
      (typed) =>
        [
          typed,
          'This is no fault code. Write SPN and FMI, such as SPN 110 FMI 0, or five characters such as P0217.',
        ] as const,
    ),
  ])('%j is refused', (typed, why) => {
    expect(refused(typed)).toBe(why);
  });

  it('reads back whatever it writes', () => {
    const j1939 = fc.record({
      system: fc.constant('j1939' as const),
      spn: fc.integer({ min: 0, max: 524_287 }),
      fmi: fc.integer({ min: 0, max: 31 }),
    });
    fc.assert(fc.property(j1939, (code) => expect(faultCodeIn(faultCodeText(code))).toEqual(code)));
  });
});
