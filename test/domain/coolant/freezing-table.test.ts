import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import type { CoolantBase } from '../../../src/domain/coolant/coolant.js';
import { ETHYLENE_GLYCOL_FREEZING } from '../../../src/domain/coolant/ethylene-glycol-freezing.js';
import { ETHYLENE_GLYCOL_REFRACTION } from '../../../src/domain/coolant/ethylene-glycol-refraction.js';
import {
  endOfFreezingTable,
  mixtureByFreezePoint,
  mixtureByMass,
  mixtureByVolume,
} from '../../../src/domain/coolant/freezing-table.js';
import { PROPYLENE_GLYCOL_FREEZING } from '../../../src/domain/coolant/propylene-glycol-freezing.js';
import {
  brixFromIndex,
  indexFromBrix,
  massPercentFromIndex,
} from '../../../src/domain/coolant/refraction.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { refusalText } from '../../support/refusal.js';

function referenceRows(file: string): string[][] {
  return readFileSync(new URL(`../../reference/${file}`, import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(','));
}

const eg = 'ethylene-glycol';
const pg = 'propylene-glycol';

describe('freezing tables', () => {
  // ASHRAE Handbook Fundamentals 2001, by a public copy (test/reference).
  it.each([
    ['eg-freeze.csv', ETHYLENE_GLYCOL_FREEZING],
    ['pg-freeze.csv', PROPYLENE_GLYCOL_FREEZING],
  ] as const)('are %s row for row', (file, table) => {
    const rows = referenceRows(file)
      .filter(([source]) => source === 'ASHRAE2001')
      .map((row) => row.slice(1).map(Number));
    expect(rows).toHaveLength(45);
    expect(table).toEqual(rows);
  });

  // ASHRAE Handbook Fundamentals 2001, linear interpolation.
  it.each([
    [eg, 30, -15.72],
    [eg, 40, -24.8],
    [eg, 50, -37.0],
    [eg, 55, -44.62],
    [pg, 30, -13.12],
    [pg, 40, -21.5],
    [pg, 50, -33.65],
  ] as const)('%s of %d volume %% freezes at %d °C', (base, volumePercent, expected) => {
    expect(Math.abs(mixtureByVolume(base, volumePercent)!.freezePointC - expected)).toBeLessThan(0.01);
  });

  // The same table the other way round.
  it.each([
    [eg, -20, 35.17],
    [eg, -30, 44.65],
    [eg, -37, 50.0],
    [pg, -25, 43.24],
  ] as const)('%s that freezes at %d °C is %d volume %%', (base, celsius, expected) => {
    expect(Math.abs(mixtureByFreezePoint(base, celsius)!.volumePercent - expected)).toBeLessThan(0.01);
  });

  it('gives the mass percentage of a 50/50 mixture', () => {
    expect(mixtureByVolume(eg, 50)!.massPercent).toBeCloseTo(52.4, 9);
    expect(mixtureByMass(eg, 40)).toEqual({ massPercent: 40, volumePercent: 37.5, freezePointC: -22.3 });
  });

  // CRC Handbook 102nd ed.; Melinder (IIR) polynomial. Published families disagree by up to 3 K for
  // ethylene glycol.
  it('agrees with other published families within 3 K for ethylene glycol', () => {
    const others = referenceRows('eg-freeze.csv').filter(
      ([source]) => source === 'CRC' || source === 'Melinder-poly',
    );
    expect(others.length).toBeGreaterThan(30);
    for (const [source, mass, , celsius] of others) {
      const difference = Math.abs(mixtureByMass(eg, Number(mass))!.freezePointC - Number(celsius));
      expect({ source, mass, within: difference < 3.01 }).toEqual({ source, mass, within: true });
    }
  });

  // Lange's Handbook of Chemistry, 15th ed., Table 5.13: allow 1.6 K for propylene glycol.
  it.each([
    [30, -12.8],
    [40, -20.6],
    [50, -33.3],
  ])('agrees with a second handbook for propylene glycol at %d volume %%', (volumePercent, celsius) => {
    expect(Math.abs(mixtureByVolume(pg, volumePercent)!.freezePointC - celsius)).toBeLessThan(1.6);
  });

  it('comes back to the strength it started from, and freezes colder the stronger it is', () => {
    fc.assert(
      fc.property(
        fc.constantFrom<CoolantBase>(eg, pg),
        fc.double({ min: 0, max: 57, noNaN: true }),
        fc.double({ min: 0.01, max: 0.8, noNaN: true }),
        (base, volumePercent, more) => {
          const { freezePointC, massPercent } = mixtureByVolume(base, volumePercent)!;
          expect(mixtureByFreezePoint(base, freezePointC)!.volumePercent).toBeCloseTo(volumePercent, 8);
          expect(mixtureByMass(base, massPercent)!.volumePercent).toBeCloseTo(volumePercent, 8);
          expect(mixtureByVolume(base, volumePercent + more)!.freezePointC).toBeLessThan(freezePointC);
        },
      ),
    );
  });

  it('extrapolates nothing beyond its end', () => {
    expect(endOfFreezingTable(eg)).toEqual({ freezePointC: -48.3, volumePercent: 57.8, massPercent: 60 });
    expect(mixtureByVolume(eg, 57.9)).toBeNull();
    expect(mixtureByFreezePoint(eg, -48.4)).toBeNull();
    expect(mixtureByMass(pg, 60.1)).toBeNull();
  });

  it('reads a little above 0 °C as plain water, and refuses what no mixture does', () => {
    expect(mixtureByFreezePoint(eg, 0.8)).toMatchObject({ freezePointC: 0, volumePercent: 0 });
    expect(refusalText(() => mixtureByFreezePoint(eg, 34))).toMatch(/Was it -34 °C, or 34 °F/);
    expect(refusalText(() => mixtureByFreezePoint(eg, -90))).toMatch(/Was it -90 °F/);
    expect(() => mixtureByVolume(eg, 101)).toThrow(ImpossibleValue);
  });
});

describe('refractive index of ethylene glycol', () => {
  it('is the CRC table row for row', () => {
    const rows = referenceRows('eg-crc.csv').map((row) => [Number(row[0]), Number(row[2])]);
    expect(rows).toHaveLength(26);
    expect(ETHYLENE_GLYCOL_REFRACTION).toEqual([[0, 1.333], ...rows]);
  });

  // CRC Handbook 102nd ed.; the Brix values by a public copy.
  it.each([
    [0, 1.333, 0],
    [20, 1.3523, 12.88],
    [40, 1.3728, 25.26],
    [60, 1.3931, 36.47],
  ])('of %d mass %% is %d, %d Brix', (massPercent, index, brix) => {
    expect(massPercentFromIndex(index)).toBeCloseTo(massPercent, 9);
    expect(Math.abs(brixFromIndex(index) - brix)).toBeLessThan(0.1);
    expect(massPercentFromIndex(indexFromBrix(brix) - 1e-4)).toBeGreaterThan(massPercent - 0.5);
  });

  it('comes back to the Brix value it started from', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 57, noNaN: true }), (brix) => {
        expect(Math.abs(brixFromIndex(indexFromBrix(brix)) - brix)).toBeLessThan(1e-6);
      }),
    );
  });

  it('gives nothing beyond its end, and refuses what no coolant shows', () => {
    expect(massPercentFromIndex(1.3932)).toBeNull();
    expect(refusalText(() => massPercentFromIndex(1.32))).toMatch(/zero with water/);
    expect(refusalText(() => massPercentFromIndex(25))).toMatch(/Brix/);
    expect(() => indexFromBrix(-37)).toThrow(ImpossibleValue);
  });
});
