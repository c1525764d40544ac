import fc from 'fast-check';
import { atmosphereAt } from '../../../src/domain/atmosphere/atmosphere.js';
import { standardAtmosphereKpa } from '../../../src/domain/atmosphere/standard-atmosphere.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import {
  airLeftFraction,
  calculateVacuumFill as calculate,
} from '../../../src/domain/pressure/vacuum-fill.js';
import {
  acceptVacuum as acceptReading,
  greatestVacuumKpa,
  targetVacuumHereKpa,
  vapourPressureKpa,
  waterShareOf,
} from '../../../src/domain/pressure/vacuum-limit.js';
import { convert } from '../../../src/domain/quantities/units.js';
import { english } from '../../support/english.js';
import { judgingInEnglish, refusingInEnglish } from '../../support/refusals-in-english.js';

const acceptVacuum = refusingInEnglish(acceptReading);
const calculateVacuumFill = judgingInEnglish(calculate);

const inHg = (value: number) => convert(value, 'inHg', 'kPa');
const psi = (value: number) => convert(value, 'psi', 'kPa');

describe('greatest vacuum', () => {
  // Sea level, over water: p_atm − p_sat, computed with python3-iapws 1.5.2.
  it.each([
    [20, 29.23],
    [40, 27.741],
    [60, 24.031],
  ])('over water at %d °C at sea level is %d inHg', (celsius, expected) => {
    const kpa = greatestVacuumKpa(101.325, vapourPressureKpa(celsius, 1));
    expect(Math.abs(convert(kpa, 'kPa', 'inHg') - expected)).toBeLessThan(0.002);
  });

  it('is deeper over coolant than over water, because glycol lowers the vapour pressure', () => {
    expect(vapourPressureKpa(60, waterShareOf('ethylene-glycol', 50))).toBeLessThan(vapourPressureKpa(60, 1));
    expect(waterShareOf('ethylene-glycol', null)).toBe(1);
  });

  it('takes the vapour pressure at 0 °C for a frozen yard, as an upper bound', () => {
    expect(vapourPressureKpa(-20, 1)).toBeCloseTo(0.6112, 4);
  });
});

describe('target at elevation', () => {
  // The trade's rule: 1 inHg less for every 1,000 ft (common practice, no source).
  it.each([1000, 2000, 5000])('is about 1 inHg less per 1,000 ft at %d ft', (feet) => {
    const here = targetVacuumHereKpa(inHg(29.92), standardAtmosphereKpa(convert(feet, 'ft', 'm')));
    expect(Math.abs(29.92 - convert(here, 'kPa', 'inHg') - feet / 1000)).toBeLessThan(0.15);
  });
});

describe('accepting a vacuum reading', () => {
  const accept = (kpa: number, elevationM: number | null, unit: 'psi' | 'inHg' | 'kPa' | 'mbar' | 'bar') =>
    acceptVacuum('start', kpa, atmosphereAt({ elevationM }, unit), 0, unit, null);

  // Common practice, no source: a vacuum gauge that holds past 25 can only be in inHg, since 25 psi
  // of vacuum exists nowhere.
  it('refuses 25 psi, says the limit there, and asks whether it was 25 inHg', () => {
    expect(() => accept(psi(25), 0, 'psi')).toThrow(
      /start: 25 psi .*limit at 0 ft is 14.7 psi .*Was it 25 inHg\?/,
    );
    expect(() => accept(psi(25), null, 'psi')).toThrow(/25 inHg/);
  });

  it.each([
    [convert(700, 'kPa', 'kPa'), 'kPa', '700 mbar'],
    [convert(75, 'inHg', 'kPa'), 'inHg', '75 kPa'],
    [convert(22, 'bar', 'kPa'), 'bar', '22 inHg'],
    [inHg(28), 'inHg', '28 kPa'],
  ] as const)('refuses %d kPa typed in %s and asks whether it was %s', (kpa, unit, meant) => {
    expect(() => accept(kpa, 1500, unit)).toThrow(`Was it ${meant}?`);
  });

  it('says that the work may have been done elsewhere', () => {
    expect(() => accept(inHg(29), 1500, 'inHg')).toThrow(/24.97 inHg.*done elsewhere, give the elevation/);
  });

  // Within about 3 kPa of the standard value is weather (from memory, meteorology textbooks).
  it('takes a vacuum up to 3 kPa beyond the standard, with a note and the atmosphere that it implies', () => {
    const standard = standardAtmosphereKpa(2000);
    const accepted = acceptVacuum('start', inHg(24), atmosphereAt({ elevationM: 2000 }), 1.2, 'inHg', null);
    expect(inHg(24)).toBeGreaterThan(standard);
    expect(accepted.atmosphereKpa).toBeCloseTo(inHg(24) + 1.2, 9);
    expect(english(accepted.note!)).toMatch(/Weather can explain/);
    expect(() => accept(standard + 3.01, 2000, 'kPa')).toThrow(ImpossibleValue);
    expect(accept(standard - 0.01, 2000, 'kPa').note).toBeNull();
  });

  it('allows no weather on top of a barometer reading', () => {
    const atmosphere = atmosphereAt({ barometerKpa: 84 });
    expect(() => acceptVacuum('end', 84.1, atmosphere, 0, 'kPa', null)).toThrow(/end: .*Check the barometer/);
  });

  it('asks for a vacuum as a positive number', () => {
    expect(() => accept(inHg(-22), 0, 'inHg')).toThrow(/Was it 22 inHg/);
  });
});

describe('vacuum fill', () => {
  // Boyle's law by hand: 1 − vacuum/p_atm.
  it.each([
    [0, 0.19789],
    [1500, 0.03886],
  ])('24 inHg at %d m leaves %d of the air', (elevationM, expected) => {
    const { computed } = calculateVacuumFill({ vacuumKpa: inHg(24), volumeL: 10, elevationM, unit: 'inHg' });
    expect(computed.airLeftFraction).toBeCloseTo(expected, 5);
    expect(computed.expectedUptake).toEqual({
      measure: 'volume',
      value: expect.closeTo(10 * (1 - expected), 4),
    });
  });

  it('leaves less air the deeper the vacuum', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 80, noNaN: true }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        (vacuum, more) => {
          expect(airLeftFraction(vacuum + more, 101.325)).toBeLessThan(airLeftFraction(vacuum, 101.325));
        },
      ),
    );
  });

  it('needs no volume, and refuses what the air cannot give', () => {
    const { computed, verdict } = calculateVacuumFill({ vacuumKpa: inHg(20), elevationM: 0 });
    expect(verdict).toBeNull();
    expect(computed.expectedUptake).toBeNull();
    expect(computed.greatestVacuum).toEqual({ measure: 'vacuum', value: expect.closeTo(101.325, 9) });
    expect(() => calculateVacuumFill({ vacuumKpa: psi(22), elevationM: 0, unit: 'psi' })).toThrow(/22 inHg/);
  });
});
