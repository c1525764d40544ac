import { convert } from '../../../src/domain/quantities/units.js';

describe('unit conversion', () => {
  // NIST SP 811 appendix B (S2) and GNU Units 2.22 (L).
  it.each([
    [1, 'in.lbf', 'N.m', 0.1129848290276167],
    [1, 'ft.lbf', 'N.m', 1.3558179483314004],
    [1, 'psi', 'kPa', 6.894757293168361],
    [1, 'inHg', 'kPa', 3.386388640341],
    [1, 'bar', 'kPa', 100],
    [1, 'qt', 'L', 0.946352946],
    [1, 'gal', 'L', 3.785411784],
    [1, 'mi', 'km', 1.609344],
    [20, 'ft.lbf', 'N.m', 27.11635897],
    [106, 'in.lbf', 'N.m', 11.97639188],
    [15, 'psi', 'kPa', 103.4213594],
    [24, 'inHg', 'kPa', 81.27332737],
    [101.325, 'kPa', 'inHg', 29.92125558],
    [101.325, 'kPa', 'psi', 14.69594878],
    [-34, 'F', 'C', -36.6666666667],
    [195, 'F', 'C', 90.5555555556],
  ] as const)('%d %s is %s %d', (value, from, to, expected) => {
    expect(Math.abs(convert(value, from, to) / expected - 1)).toBeLessThan(1e-9);
  });
});
