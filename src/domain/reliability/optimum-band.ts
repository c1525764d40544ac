import { logOptimum, type ReplacementCosts } from './age-replacement.js';
import type { WeibullFit } from './weibull-fit.js';
import { profileAt } from './weibull-likelihood.js';

/** Half of the 0.95 quantile of χ² with one degree of freedom, 3.841459. */
const HALF_CHI2 = 1.9207294103470705;
const STEPS = 48;

export interface Band {
  low: number;
  /** Infinity: the lives do not exclude that replacing early never pays. */
  high: number;
}

/**
 * The shapes whose profile likelihood is not less than the best by more than a 95 %
 * likelihood-ratio test allows.
 *
 * Source: Meeker & Escobar (1998), section 8.3.1.
 *
 * @example profileShapeLimits(fit of the shock absorbers) // { low: 1.9, high: 4.7 }, about
 */
export function profileShapeLimits(fit: WeibullFit): Band {
  const floor = fit.logLikelihood - HALF_CHI2;
  const edge = (direction: 1 | -1): number => {
    const holds = (log: number): boolean => profileAt(fit.sample, Math.exp(log)).logLikelihood >= floor;
    let inside = Math.log(fit.shape.value);
    let step = 0.1;
    while (holds(inside + direction * step) && step < 16) {
      inside += direction * step;
      step *= 1.5;
    }
    let outside = inside + direction * step;
    for (let round = 0; round < 45; round++) {
      const middle = (inside + outside) / 2;
      if (holds(middle)) inside = middle;
      else outside = middle;
    }
    return Math.exp(inside);
  };
  return { low: edge(-1), high: edge(1) };
}

/**
 * Profile-likelihood band (95 %) of the age at which replacing costs least: the least and the
 * greatest such age of all Weibull laws that a likelihood-ratio test with one degree of freedom
 * does not reject. Unlike limits at either side of the estimate it is as lopsided as the lives are.
 *
 * At a shape β with the best scale η̂(β), a scale η̂·exp(s/β) loses r·(s + e⁻ˢ − 1) of
 * log-likelihood; so for each shape in `profileShapeLimits` the least and greatest scale follow
 * from one equation, and the band is the extreme over the shapes.
 *
 * Source: the profile likelihood of a function of the parameters, Meeker & Escobar (1998), section
 * 8.3.2; own derivation of the equation.
 */
export function optimumBand(fit: WeibullFit, costs: ReplacementCosts): Band {
  const shapes = profileShapeLimits(fit);
  const extreme = (direction: 1 | -1): number => {
    const reach = (logShape: number): number =>
      direction * logAgeAt(fit, costs, Math.exp(logShape), direction);
    const least = Math.log(shapes.low);
    const width = Math.log(shapes.high) - least;
    const at = Array.from({ length: STEPS + 1 }, (_, step) => least + (width * step) / STEPS);
    const reached = at.map(reach);
    const best = reached.reduce((top, value, index) => (value > reached[top]! ? index : top), 0);
    return (
      direction * highest(reach, at[Math.max(0, best - 1)]!, at[Math.min(STEPS, best + 1)]!, reached[best]!)
    );
  };
  return { low: Math.exp(extreme(-1)), high: shapes.low <= 1 ? Infinity : Math.exp(extreme(1)) };
}

/**
 * ln of the least (−1) or greatest (1) optimum among the scales that the lives allow at a shape.
 */
function logAgeAt(fit: WeibullFit, costs: ReplacementCosts, shape: number, direction: 1 | -1): number {
  const { logLikelihood, logScale } = profileAt(fit.sample, shape);
  const spare = Math.max(0, logLikelihood - fit.logLikelihood + HALF_CHI2);
  return logScale + offset(spare / fit.sample.failures, direction) / shape + logOptimum(shape, costs);
}

/** The s of one sign with s + e⁻ˢ − 1 = loss, by bisection. */
function offset(loss: number, direction: 1 | -1): number {
  let inside = 0;
  let outside = direction * (1 + loss + Math.sqrt(2 * loss));
  for (let round = 0; round < 50; round++) {
    const middle = (inside + outside) / 2;
    if (middle + Math.expm1(-middle) < loss) inside = middle;
    else outside = middle;
  }
  return inside;
}

/**
 * The highest value of a function with one top between two places, by golden section; never less
 * than one known already.
 */
function highest(value: (at: number) => number, from: number, to: number, known: number): number {
  const GOLDEN = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [from, to];
  let top = known;
  for (let round = 0; round < 40; round++) {
    const [left, right] = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
    const [atLeft, atRight] = [value(left), value(right)];
    top = Math.max(top, atLeft, atRight);
    if (atLeft > atRight) high = right;
    else low = left;
  }
  return top;
}
