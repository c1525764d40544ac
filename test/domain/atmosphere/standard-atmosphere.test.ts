import fc from 'fast-check';
import { atmosphereAt as airAt } from '../../../src/domain/atmosphere/atmosphere.js';
import { standardAtmosphereKpa as standardKpa } from '../../../src/domain/atmosphere/standard-atmosphere.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { convert } from '../../../src/domain/quantities/units.js';
import { english } from '../../support/english.js';
import { refusingInEnglish } from '../../support/refusals-in-english.js';

const atmosphereAt = refusingInEnglish(airAt);
const standardAtmosphereKpa = refusingInEnglish(standardKpa);

describe('standard atmosphere', () => {
  // U.S. Standard Atmosphere 1976 by geometric elevation, computed from its published constants;
  // 1000 m and 2000 m also in Mechanical
  // Engineers' Handbook vol. 4, Table 6 (0.8988 and 0.7950 bar).
  it.each([
    [0, 101325.0, 29.921],
    [1000, 89876.28, 26.54],
    [1500, 84559.66, 24.97],
    [2000, 79501.41, 23.477],
  ])('at %d m is %d Pa, a vacuum of %d inHg', (elevationM, pascals, inHg) => {
    const kpa = standardAtmosphereKpa(elevationM);
    expect(Math.abs(kpa * 1000 - pascals)).toBeLessThan(1);
    expect(convert(kpa, 'kPa', 'inHg')).toBeCloseTo(inHg, 3);
  });

  it('falls as one climbs', () => {
    const elevation = fc.double({ min: -400, max: 6000, noNaN: true });
    fc.assert(
      fc.property(elevation, fc.double({ min: 1, max: 4000, noNaN: true }), (low, climb) => {
        expect(standardAtmosphereKpa(low + climb)).toBeLessThan(standardAtmosphereKpa(low));
      }),
    );
  });

  it('refuses an elevation that was given in feet', () => {
    expect(() => standardAtmosphereKpa(14_000)).toThrow(/14,000 m .*Was it 14,000 ft/);
    expect(() => standardAtmosphereKpa(Number.NaN)).toThrow(ImpossibleValue);
  });
});

describe('atmosphere at the place of work', () => {
  it('takes a barometer reading before the elevation, and the elevation before sea level', () => {
    expect(atmosphereAt({ barometerKpa: 85, elevationM: 1500 })).toMatchObject({
      kpa: 85,
      source: 'barometer',
    });
    expect(atmosphereAt({ elevationM: 1500 }).source).toBe('elevation');
    const assumed = atmosphereAt({});
    expect(assumed.source).toBe('assumed');
    expect(english(assumed.basis)).toMatch(/sea level assumed/);
  });

  // 32.0 inHg is about the highest sea-level pressure on record (from memory of the WMO extremes).
  it('refuses a barometer reading that no weather gives, naming the unit probably meant', () => {
    expect(() => atmosphereAt({ barometerKpa: 29.92 })).toThrow(/barometer: 29.92 kPa .*Was it 29.92 inHg\?/);
    expect(() => atmosphereAt({ barometerKpa: convert(33, 'inHg', 'kPa') }, 'inHg')).toThrow(/33 inHg/);
  });

  it('points out a sea-level barometer value used up the mountain', () => {
    expect(english(atmosphereAt({ barometerKpa: 101.3, elevationM: 1500 }).basis)).toMatch(
      /101\.3 kPa\. That is far from the 84\.56 kPa usual at 1,500 m: give the station pressure/,
    );
  });
});
