import fc from 'fast-check';
import { standardAtmosphereKpa } from '../../../src/domain/atmosphere/standard-atmosphere.js';
import { boilOverC, calculateBoilOver as boilOver } from '../../../src/domain/coolant/boil-over.js';
import {
  massPercentFromVolume,
  volumePercentFromMass,
  waterMoleFraction,
} from '../../../src/domain/coolant/strength-conversion.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import type { Measure } from '../../../src/domain/quantities/measures.js';
import { convert } from '../../../src/domain/quantities/units.js';
import { inEnglish } from '../../support/english.js';
import { refusalText } from '../../support/refusal.js';

const calculateBoilOver = (...given: Parameters<typeof boilOver>) => inEnglish(boilOver(...given));

const cap15 = convert(15, 'psi', 'kPa');

describe('boil-over', () => {
  // Raoult's law with IAPWS-IF97, own derivation; molar masses 18.015268, 62.06784, 76.09442 g/mol.
  it.each([
    [30, 101.325, 103.29],
    [30, 101.325 + cap15, 124.72],
    [50, 101.325, 107.27],
    [50, 101.325 + cap15, 129.24],
    [50, standardAtmosphereKpa(1500) + cap15, 126.42],
  ])('of %d mass %% ethylene glycol at %d kPa is %d °C', (massPercent, absoluteKpa, expected) => {
    expect(Math.abs(boilOverC('ethylene-glycol', massPercent, absoluteKpa) - expected)).toBeLessThan(0.02);
  });

  // Common practice, no source: "50 % boils at about 107 °C open, about 129 °C under a 15 psi cap".
  it('of a 50/50 premix is what the trade says, within the ±1.5 K of the method', () => {
    const boilsAt = (capRatingKpa: number) =>
      calculateBoilOver({ base: 'ethylene-glycol', strengthPercent: 50, capRatingKpa, elevationM: 0 })
        .computed.boilsAt as Measure;
    expect(Math.abs(boilsAt(0).value - 107)).toBeLessThan(1.5);
    expect(Math.abs(boilsAt(cap15).value - 129)).toBeLessThan(1.5);
  });

  it('tells the absolute pressure, what it rests on, and no verdict', () => {
    const result = calculateBoilOver({
      base: 'propylene-glycol',
      strengthPercent: 50,
      capRatingKpa: cap15,
      elevationM: 1500,
      unit: 'psi',
      temperatureUnit: 'F',
    });
    expect(result.verdict).toBeNull();
    expect(result.computed.absolutePressure).toEqual({
      measure: 'pressure',
      value: expect.closeTo(84.55966 + 103.42136, 4),
    });
    expect(result.reasons[0]).toMatch(/50 % propylene glycol boils at .* °F under a 15 psi cap at 4,921 ft/);
    expect(result.basis.join()).toMatch(/Raoult.*IF97.*±2\.7 °F/);
    expect(result.cautions[0]).toMatch(/Never open a hot system/);
  });

  it('rises with strength, with the cap and downhill', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 70, noNaN: true }),
        fc.double({ min: 0, max: 120, noNaN: true }),
        fc.double({ min: 0, max: 4000, noNaN: true }),
        (mass, cap, elevation) => {
          const here = boilOverC('ethylene-glycol', mass, standardAtmosphereKpa(elevation) + cap);
          expect(
            boilOverC('ethylene-glycol', mass + 5, standardAtmosphereKpa(elevation) + cap),
          ).toBeGreaterThan(here);
          expect(
            boilOverC('ethylene-glycol', mass, standardAtmosphereKpa(elevation) + cap + 5),
          ).toBeGreaterThan(here);
          expect(
            boilOverC('ethylene-glycol', mass, standardAtmosphereKpa(elevation + 100) + cap),
          ).toBeLessThan(here);
        },
      ),
    );
  });

  it('refuses a mixture with hardly any water, and a negative cap', () => {
    expect(refusalText(() => boilOverC('ethylene-glycol', 95, 101.325))).toMatch(/nearly neat/);
    expect(() =>
      calculateBoilOver({ base: 'ethylene-glycol', strengthPercent: 50, capRatingKpa: -1 }),
    ).toThrow(/capRating/);
    expect(() => calculateBoilOver({ base: 'ethylene-glycol', strengthPercent: 150 })).toThrow(
      ImpossibleValue,
    );
  });
});

describe('strength by mass and by volume', () => {
  // ASHRAE Handbook Fundamentals 2001, the columns of the freezing tables.
  it.each([
    ['ethylene-glycol', 50, 52.4],
    ['ethylene-glycol', 57.8, 60],
    ['propylene-glycol', 57, 57],
  ] as const)('of %s is that of the freezing table: %d volume %% is %d mass %%', (base, volume, mass) => {
    expect(massPercentFromVolume(base, volume)).toBeCloseTo(mass, 9);
    expect(volumePercentFromMass(base, mass)).toBeCloseTo(volume, 9);
  });

  // w = v·r/(v·r + 1 - v) with r = 60·42.2/(57.8·40) = 1.09516 by hand; densities at 20 °C (998.207
  // and 1113.5 kg/m³, from memory of the CRC Handbook) give 1.1155, which is 81.69.
  it('goes on from the end of the table without a step, to 100 % for neat glycol', () => {
    expect(massPercentFromVolume('ethylene-glycol', 80)).toBeCloseTo(81.415, 3);
    expect(massPercentFromVolume('ethylene-glycol', 57.8001)).toBeCloseTo(60, 3);
    expect(massPercentFromVolume('ethylene-glycol', 100)).toBe(100);
    expect(massPercentFromVolume('propylene-glycol', 80)).toBeCloseTo(80, 9);
  });

  it('is the one that the boiling point is worked out by', () => {
    const { basis, computed } = calculateBoilOver({ base: 'ethylene-glycol', strengthPercent: 50 });
    expect(basis.join()).toMatch(/50 volume % = 52\.4 mass %/);
    const { value } = computed.boilsAt as Measure;
    expect(value).toBeCloseTo(boilOverC('ethylene-glycol', 52.4, 101.325), 9);
  });

  it('comes back to where it started, over the whole range', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('ethylene-glycol' as const, 'propylene-glycol' as const),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (base, percent) => {
          expect(massPercentFromVolume(base, volumePercentFromMass(base, percent))).toBeCloseTo(percent, 8);
        },
      ),
    );
  });

  it('gives water all of the molecules at 0 % and none at 100 %', () => {
    expect(waterMoleFraction('ethylene-glycol', 0)).toBe(1);
    expect(waterMoleFraction('ethylene-glycol', 100)).toBe(0);
    expect(() => waterMoleFraction('ethylene-glycol', 101)).toThrow(ImpossibleValue);
  });
});
