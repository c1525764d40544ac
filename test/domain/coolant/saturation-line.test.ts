import fc from 'fast-check';
import { boilingPointC, saturationPressureKpa } from '../../../src/domain/coolant/saturation-line.js';
import { ImpossibleValue } from '../../../src/domain/impossible-value.js';
import { convert } from '../../../src/domain/quantities/units.js';

const relative = (actual: number, expected: number) => Math.abs(actual / expected - 1);

describe('saturation line of water', () => {
  // IAPWS R7-97(2012), verification values of Table 35.
  it.each([
    [300, 0.353658941e-2],
    [500, 0.263889776e1],
    [600, 0.123443146e2],
  ])('at %d K is %d MPa', (kelvin, megapascals) => {
    expect(relative(saturationPressureKpa(kelvin - 273.15) / 1000, megapascals)).toBeLessThan(1e-8);
  });

  // IAPWS R7-97(2012), verification values of Table 36.
  it.each([
    [0.1, 372.755919],
    [1, 453.035632],
    [10, 584.149488],
  ])('at %d MPa boils at %d K', (megapascals, kelvin) => {
    expect(relative(boilingPointC(megapascals * 1000) + 273.15, kelvin)).toBeLessThan(1e-8);
  });

  // Computed with python3-iapws 1.5.2.
  it.each([
    [20, 2.33921],
    [40, 7.38443],
    [60, 19.9458],
    [80, 47.41472],
    [100, 101.41798],
  ])('at %d °C is %d kPa', (celsius, kpa) => {
    // The values are printed to five decimals.
    expect(Math.abs(saturationPressureKpa(celsius) - kpa)).toBeLessThan(1e-5);
  });

  // Computed with python3-iapws 1.5.2.
  it.each([
    [0, 99.9743],
    [15, 120.9547],
    [7, 111.2676],
  ])('water under a %d psi cap at sea level boils at %d °C', (psi, celsius) => {
    expect(Math.abs(boilingPointC(101.325 + convert(psi, 'psi', 'kPa')) - celsius)).toBeLessThan(1e-3);
  });

  it('comes back to the temperature it started from, and rises with it', () => {
    const temperature = fc.double({ min: 0.01, max: 373, noNaN: true });
    fc.assert(
      fc.property(temperature, (celsius) => {
        // The two published equations agree within their own rounding.
        expect(Math.abs(boilingPointC(saturationPressureKpa(celsius)) - celsius)).toBeLessThan(1e-5);
        expect(saturationPressureKpa(celsius + 0.9)).toBeGreaterThan(saturationPressureKpa(celsius));
      }),
    );
  });

  // Published range: 273.15 to 647.096 K, 611.213 Pa to 22.064 MPa.
  it('refuses what lies outside the published range', () => {
    expect(() => saturationPressureKpa(-0.1)).toThrow(ImpossibleValue);
    expect(() => saturationPressureKpa(374)).toThrow(ImpossibleValue);
    expect(() => boilingPointC(0.611)).toThrow(ImpossibleValue);
    expect(() => boilingPointC(22_065)).toThrow(ImpossibleValue);
    expect(() => boilingPointC(Number.NaN)).toThrow(ImpossibleValue);
    expect(saturationPressureKpa(0)).toBeCloseTo(0.611213, 5);
  });
});
