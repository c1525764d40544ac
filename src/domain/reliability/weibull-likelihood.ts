import { failuresOf, type Life } from './lives.js';

/**
 * What the likelihood of a Weibull law needs of the lives, on a logarithmic scale about their
 * longest, so that no power overflows.
 */
export interface WeibullSample {
  /** ln of the longest life. */
  centre: number;
  failures: number;
  /** Sum over the failures of ln(age), about the centre. */
  failureLogs: number;
  /** Each with ln(age) and ln(entry) about the centre; an entry of 0 has −∞. */
  lives: readonly { logAge: number; logEntry: number; failed: boolean; count: number }[];
}

export function weibullSample(lives: readonly Life[]): WeibullSample {
  const centre = Math.log(Math.max(...lives.map(({ age }) => age)));
  const scaled = lives.map(({ age, entry, failed, count }) => ({
    logAge: Math.log(age) - centre,
    logEntry: Math.log(entry) - centre,
    failed,
    count,
  }));
  return {
    centre,
    failures: failuresOf(lives),
    failureLogs: scaled.reduce((sum, { logAge, failed, count }) => sum + (failed ? count * logAge : 0), 0),
    lives: scaled,
  };
}

/** The best that a shape can do. */
export interface Profile {
  /** Log-likelihood with the best scale for this shape; of ages in the unit of the lives. */
  logLikelihood: number;
  /** ln of that scale. */
  logScale: number;
  /** Derivative of the log-likelihood by the shape. */
  slope: number;
}

/**
 * Profile log-likelihood of a Weibull law at a shape β, right censoring and delayed entry counted:
 * with r failures and A = Σ (t^β − e^β) over all lives, the best scale is (A/r)^(1/β), and ln L =
 * r·ln β − r·ln(A/r) + (β − 1)·Σ ln t − r, the last sum over the failures.
 *
 * Source: Meeker & Escobar, Statistical Methods for Reliability Data (1998), sections 8.2 and 11.6
 * (truncation), written out for the Weibull law.
 *
 * @example profileAt(weibullSample([{ age: 1, entry: 0, failed: true, count: 1 }, { age: 3, entry: 0, failed: true, count: 1 }]), 1).logScale // ln 2
 */
export function profileAt(sample: WeibullSample, shape: number): Profile {
  const { failures, failureLogs, centre, lives } = sample;
  let sum = 0;
  let weighted = 0;
  for (const { logAge, logEntry, count } of lives) {
    const power = count * Math.exp(shape * logAge);
    if (logEntry === -Infinity) {
      sum += power;
      weighted += power * logAge;
    } else {
      // t^β − e^β without cancellation.
      const gap = Math.expm1(shape * (logEntry - logAge));
      sum -= power * gap;
      weighted += power * (logAge - logEntry * (gap + 1));
    }
  }
  const mean = Math.log(sum / failures);
  return {
    logLikelihood: failures * (Math.log(shape) - mean - 1 - centre) + (shape - 1) * failureLogs,
    logScale: centre + mean / shape,
    slope: failures / shape - (failures * weighted) / sum + failureLogs,
  };
}
