import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { requireReachableVacuum as requireReachable } from '../../../src/domain/pressure/vacuum-target.js';
import { canonical } from '../../../src/domain/quantities/measures.js';
import type { Unit } from '../../../src/domain/quantities/units.js';
import { refusingInEnglish } from '../../support/refusals-in-english.js';

const requireReachableVacuum = refusingInEnglish(requireReachable);

const asked = (value: number, unit: Unit) => () =>
  requireReachableVacuum('target', canonical('vacuum', { value, unit }), unit);

describe('requireReachableVacuum', () => {
  it.each<[number, Unit]>([
    [23, 'inHg'],
    [29.92, 'inHg'],
    [101.325, 'kPa'],
    // 3 kPa of weather above the standard atmosphere: from memory of meteorology textbooks.
    [104.325, 'kPa'],
  ])('takes %f %s', (value, unit) => {
    expect(asked(value, unit)).not.toThrow();
  });

  it.each<[number, Unit, string]>([
    // A gauge that holds past 25 can only be in inHg: 25 psi of vacuum exists nowhere (common
    // practice, no source).
    [25, 'psi', 'Was it 25 inHg?'],
    [75, 'inHg', 'Was it 75 kPa?'],
    [800, 'kPa', 'Was it 800 mbar?'],
  ])('refuses %f %s: %s', (value, unit, question) => {
    expect(asked(value, unit)).toThrow(ImpossibleValue);
    expect(asked(value, unit)).toThrow(question);
    expect(asked(value, unit)).toThrow(/^target: .* exists nowhere/);
  });

  it('tells the limit in the unit typed and in inHg', () => {
    // 101.325 kPa = 14.696 psi = 29.921 inHg (U.S. Standard Atmosphere 1976; factors of NIST SP
    // 811).
    expect(asked(25, 'psi')).toThrow('at most 14.7 psi (29.92 inHg) at sea level');
    expect(asked(75, 'inHg')).toThrow('at most 29.92 inHg at sea level');
  });

  it('refuses what is just beyond the weather, and asks nothing where no unit fits', () => {
    expect(asked(104.4, 'kPa')).toThrow(ImpossibleValue);
    expect(asked(0.2, 'psi')).not.toThrow();
    expect(asked(9_000_000, 'Pa')).not.toThrow('Was it');
    expect(asked(9_000_000, 'Pa')).toThrow('exists nowhere');
  });

  it('refuses a vacuum below zero by asking for the positive number, and a vacuum of zero', () => {
    expect(asked(-23, 'inHg')).toThrow('Was it 23 inHg?');
    expect(asked(0, 'inHg')).toThrow('tests nothing');
  });
});
