import type { LossCohort } from '../facts/types.js';

/**
 * Mean of the last levels of a block, on two axes: usage (1,000 km, or its worth in engine hours)
 * and everything lost until then.
 */
export interface BlockLevel {
  thousandKm: number;
  lostL: number;
  /** How many levels were averaged. */
  levels: number;
}

/**
 * The straight line along which a vehicle usually loses coolant, as far as it is known: level and
 * rate with their variances. The rate is first what its
 * cohort loses, and what it loses itself the longer it is watched.
 */
export interface UsualLine {
  fromThousandKm: number;
  /** Lost at the start of the line in L, and what is lost per 1,000 km. */
  lostL: number;
  rate: number;
  varianceLost: number;
  covariance: number;
  varianceRate: number;
}

/** How far a level is off the line, before the line includes it. */
export interface Departure {
  expectedL: number;
  /** Standard deviation of the difference between level and line, in L. */
  spreadL: number;
  /**
   * The difference in standard deviations: independent standard normal values as long as the
   * vehicle keeps to its line.
   */
  standardised: number;
}

/**
 * A line through a known level, with a rate known as well as given.
 *
 * @param rate mean and variance (L per 1,000 km, and its square). @param levelNoiseL standard
 * uncertainty of one level in L.
 * @example lineThrough({ thousandKm: 2, lostL: 0.1, levels: 1 }, { mean: 0.01, variance: 0.0004 }, 0.15).varianceLost // 0.0225
 */
export function lineThrough(
  level: BlockLevel,
  rate: { mean: number; variance: number },
  levelNoiseL: number,
): UsualLine {
  return {
    fromThousandKm: level.thousandKm,
    lostL: level.lostL,
    rate: rate.mean,
    varianceLost: (levelNoiseL * levelNoiseL) / level.levels,
    covariance: 0,
    varianceRate: rate.variance,
  };
}

/**
 * What a vehicle of the cohort loses before anything is known of itself. @example rateOf({ mu0:
 * 0.01, sigma: 0.02 }) // { mean: 0.01, variance: 0.0004 }
 */
export function rateOf(cohort: LossCohort): { mean: number; variance: number } {
  return { mean: cohort.mu0, variance: cohort.sigma * cohort.sigma };
}

/**
 * How far a level is off the line: a recursive residual.
 *
 * Source: Brown, Durbin & Evans, J. R. Stat. Soc. B 37 (1975) 149; the prediction of a Bayesian
 * linear regression (Kalman, 1960).
 *
 * @example departureFrom(line, { thousandKm: 4, lostL: 0.72, levels: 1 }, 0.15).standardised // (0.72 − 0.12)/√(0.0225 + 0.0016 + 0.0225) = 2.779
 */
export function departureFrom(line: UsualLine, level: BlockLevel, levelNoiseL: number): Departure {
  const run = level.thousandKm - line.fromThousandKm;
  const expectedL = line.lostL + line.rate * run;
  const variance =
    line.varianceLost +
    2 * run * line.covariance +
    run * run * line.varianceRate +
    (levelNoiseL * levelNoiseL) / level.levels;
  const spreadL = Math.sqrt(variance);
  return { expectedL, spreadL, standardised: (level.lostL - expectedL) / spreadL };
}

/**
 * The line after a level was taken into it: one step of the recursive least squares that the
 * departure is part of.
 *
 * Source: as `departureFrom`.
 */
export function takenInto(line: UsualLine, level: BlockLevel, departure: Departure): UsualLine {
  const run = level.thousandKm - line.fromThousandKm;
  const withLost = line.varianceLost + run * line.covariance;
  const withRate = line.covariance + run * line.varianceRate;
  const variance = departure.spreadL * departure.spreadL;
  const difference = level.lostL - departure.expectedL;
  return {
    fromThousandKm: line.fromThousandKm,
    lostL: line.lostL + (withLost * difference) / variance,
    rate: line.rate + (withRate * difference) / variance,
    varianceLost: line.varianceLost - (withLost * withLost) / variance,
    covariance: line.covariance - (withLost * withRate) / variance,
    varianceRate: line.varianceRate - (withRate * withRate) / variance,
  };
}
