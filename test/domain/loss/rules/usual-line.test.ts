import {
  departureFrom,
  lineThrough,
  rateOf,
  takenInto,
  type BlockLevel,
} from '../../../../src/domain/loss/rules/usual-line.js';

const NOISE_L = 0.15;

/**
 * The same line in one go: weighted least squares on the first level, the levels after it and the
 * known rate as one more observation, by the normal
 * equations (textbook). An independent reckoning: no recursion.
 */
function inOneGo(
  levels: readonly BlockLevel[],
  rate: { mean: number; variance: number },
  atThousandKm: number,
) {
  const origin = levels[0]?.thousandKm ?? 0;
  let [s, sx, sxx, sy, sxy] = [0, 0, 1 / rate.variance, 0, rate.mean / rate.variance];
  for (const level of levels) {
    const weight = level.levels / NOISE_L ** 2;
    const x = level.thousandKm - origin;
    s += weight;
    sx += weight * x;
    sxx += weight * x * x;
    sy += weight * level.lostL;
    sxy += weight * x * level.lostL;
  }
  const determinant = s * sxx - sx * sx;
  const lostL = (sxx * sy - sx * sxy) / determinant;
  const slope = (s * sxy - sx * sy) / determinant;
  const x = atThousandKm - origin;
  return { expectedL: lostL + slope * x, variance: (sxx - 2 * x * sx + x * x * s) / determinant };
}

describe('the line along which a vehicle usually loses', () => {
  const rate = rateOf({ mu0: 0.01, sigma: 0.02 });
  const levels: BlockLevel[] = [
    { thousandKm: 3, lostL: 0.2, levels: 1 },
    { thousandKm: 4.3, lostL: 0.15, levels: 6 },
    { thousandKm: 9.8, lostL: 0.5, levels: 2 },
    { thousandKm: 11.1, lostL: 0.31, levels: 1 },
  ];

  it('is what least squares give in one go', () => {
    let line = lineThrough(levels[0] as BlockLevel, rate, NOISE_L);
    for (const [index, level] of levels.entries()) {
      if (index === 0) continue;
      const departure = departureFrom(line, level, NOISE_L);
      const reckoned = inOneGo(levels.slice(0, index), rate, level.thousandKm);
      expect(departure.expectedL).toBeCloseTo(reckoned.expectedL, 10);
      expect(departure.spreadL ** 2).toBeCloseTo(reckoned.variance + NOISE_L ** 2 / level.levels, 10);
      line = takenInto(line, level, departure);
    }
  });

  // By hand: (0.72 − 0.1 − 2·0.01)/√(0.0225 + 4·0.0004 + 0.0225) = 0.6/0.215870 = 2.77945.
  it('tells how far a level lies off it, in standard deviations', () => {
    const line = lineThrough({ thousandKm: 2, lostL: 0.1, levels: 1 }, rate, NOISE_L);
    expect(departureFrom(line, { thousandKm: 4, lostL: 0.72, levels: 1 }, NOISE_L).standardised).toBeCloseTo(
      2.77945,
      4,
    );
  });
});
