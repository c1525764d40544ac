import { strengthUncertaintyPercent } from '../../../src/domain/strength/strength-uncertainty.js';

describe('how well a strength is known from a freeze point', () => {
  // ASHRAE Handbook Fundamentals 2001 (test/reference/eg-freeze.csv): 50.0 volume % freezes at
  // -37.00 °C; -36 and -38 lie on the
  // neighbouring straight pieces of the table, at 49.25 and 50.72 volume % by hand from its rows.
  it('is half of what the table spans between the limits of the reading', () => {
    const uncertainty = strengthUncertaintyPercent('ethylene-glycol', -37, 1);
    expect(uncertainty).toBeGreaterThan(0.6);
    expect(uncertainty).toBeLessThan(0.85);
  });

  it('is unknown where a limit lies beyond the table', () => {
    expect(strengthUncertaintyPercent('ethylene-glycol', -48, 1)).toBeNull();
  });
});
