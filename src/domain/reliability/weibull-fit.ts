import { Z95 } from '../statistics/normal.js';
import type { Life } from './lives.js';
import { profileAt, type WeibullSample, weibullSample } from './weibull-likelihood.js';

/** An estimate with its 95 % limits. */
export interface Estimate {
  value: number;
  low: number;
  high: number;
  standardError: number;
}

/** A Weibull law fitted to lives: the share surviving a use t is exp(−(t/scale)^shape). */
export interface WeibullFit {
  /** Above 1 parts wear out, at 1 they fail at random, below 1 they fail early. */
  shape: Estimate;
  /** The use by which 63 % have failed, in the unit of the lives. */
  scale: Estimate;
  /** The use by which a tenth have failed. */
  b10: Estimate;
  /** Of ages in the unit of the lives. */
  logLikelihood: number;
  sample: WeibullSample;
}

const LEAST_SHAPE = 0.02;
const GREATEST_SHAPE = 1e5;
const STEPS = 90;

/**
 * Fits a Weibull law to lives by maximum likelihood, right censoring and delayed entry counted.
 * Limits (95 %): normal approximation for the logarithm of each parameter, its variance from the
 * observed Fisher information.
 *
 * Source: Meeker & Escobar (1998), sections 8.2 to 8.4. The likelihood is searched over shapes from
 * 0.02 to 100,000, then its slope is brought to zero by bisection, so that no starting value is
 * needed.
 *
 * @returns null where no shape in that range is the best: no failure; or every failure at one age
 * that no other part outlived; or limits that no number can hold.
 * @example fitWeibull(the shock absorbers of Meeker & Escobar, table C.2)?.shape.value // 3.16047
 */
export function fitWeibull(lives: readonly Life[]): WeibullFit | null {
  const sample = weibullSample(lives);
  if (sample.failures === 0) return null;
  const grid = Array.from(
    { length: STEPS + 1 },
    (_, step) => LEAST_SHAPE * (GREATEST_SHAPE / LEAST_SHAPE) ** (step / STEPS),
  );
  const heights = grid.map((shape) => profileAt(sample, shape).logLikelihood);
  const best = heights.reduce((top, height, index) => (height > heights[top]! ? index : top), 0);
  if (best === 0 || best === STEPS) return null;
  let [low, high] = [grid[best - 1]!, grid[best + 1]!];
  for (let step = 0; step < 60; step++) {
    const middle = Math.sqrt(low * high);
    if (profileAt(sample, middle).slope > 0) low = middle;
    else high = middle;
  }
  const shape = Math.sqrt(low * high);
  const { logScale, logLikelihood } = profileAt(sample, shape);
  if (!Number.isFinite(Math.exp(logScale)) || Math.exp(logScale) === 0) return null;
  const variance = covariance(sample, shape, logScale);
  if (variance === null) return null;
  const { ofShape, ofScale, ofBoth } = variance;
  const tenth = Math.log(-Math.log(0.9)) / shape;
  const estimates = {
    shape: limits(Math.log(shape), ofShape),
    scale: limits(logScale, ofScale),
    b10: limits(logScale + tenth, ofScale + tenth * (tenth * ofShape - 2 * ofBoth)),
  };
  const isFinite = Object.values(estimates).every(
    (estimate) => Number.isFinite(estimate.low) && Number.isFinite(estimate.high),
  );
  return isFinite ? { ...estimates, logLikelihood, sample } : null;
}

/** Variances and covariance of ln(shape) and ln(scale): the inverse of the observed information. */
function covariance(
  sample: WeibullSample,
  shape: number,
  logScale: number,
): { ofShape: number; ofScale: number; ofBoth: number } | null {
  // At the best scale the hazards of all lives add up to the failures.
  const scales = shape * shape * sample.failures;
  let [shapes, both] = [0, 0];
  for (const { logAge, logEntry, failed, count } of sample.lives) {
    const at = (log: number): { reduced: number; hazard: number } => {
      const reduced = shape * (log + sample.centre - logScale);
      return { reduced, hazard: log === -Infinity ? 0 : Math.exp(reduced) };
    };
    const end = at(logAge);
    const start = logEntry === -Infinity ? { reduced: 0, hazard: 0 } : at(logEntry);
    const moment = end.hazard * end.reduced - start.hazard * start.reduced;
    const second = end.hazard * end.reduced ** 2 - start.hazard * start.reduced ** 2;
    shapes += count * (second + moment - (failed ? end.reduced : 0));
    both -= shape * count * (moment + end.hazard - start.hazard - (failed ? 1 : 0));
  }
  const determinant = shapes * scales - both * both;
  if (!(determinant > 0)) return null;
  return { ofShape: scales / determinant, ofScale: shapes / determinant, ofBoth: -both / determinant };
}

function limits(log: number, variance: number): Estimate {
  const deviation = Math.sqrt(variance);
  const value = Math.exp(log);
  return {
    value,
    low: Math.exp(log - Z95 * deviation),
    high: Math.exp(log + Z95 * deviation),
    standardError: value * deviation,
  };
}
