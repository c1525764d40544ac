import { costRate, logOptimum, type ReplacementCosts } from './age-replacement.js';
import { type GoodnessOfFit, goodnessOfFit } from './goodness-of-fit.js';
import { kaplanMeier, type SurvivalStep } from './kaplan-meier.js';
import { failuresOf, groupLives, type Life, longestOf } from './lives.js';
import { type Band, optimumBand } from './optimum-band.js';
import { fitWeibull, type WeibullFit } from './weibull-fit.js';

/** With fewer failures an estimate says more about chance than about parts. */
export const LEAST_FAILURES = 5;
/**
 * A band whose ends differ by more than this factor names no interval. Common practice, no source.
 */
export const WIDEST_BAND = 3;
const CURVE_STEPS = 60;

/** Why no interval is advised. */
export type RefusalCode =
  | 'too-few-failures'
  | 'no-law-fits'
  | 'no-wear-out'
  | 'no-costs'
  | 'failure-costs-no-more'
  | 'band-too-wide'
  | 'beyond-the-lives';

/** Replacing at an age, and what it costs for each unit of use. */
export interface Optimum {
  age: number;
  band: Band;
  costRate: number;
  /** As in `IntervalAdvice`. */
  costRateAtFailure: number;
}

export interface IntervalAdvice {
  /** Empty: `optimum` is the advice. */
  refusals: RefusalCode[];
  failures: number;
  longest: number;
  fit: WeibullFit | null;
  survival: SurvivalStep[];
  /** The fitted law at even steps, from 0 to past the longest life. */
  fitted: { age: number; survival: number }[];
  goodnessOfFit: GoodnessOfFit | null;
  costCurve: { age: number; costRate: number }[];
  /**
   * Cost for each unit of use where only failed parts are replaced; null without costs or a law.
   */
  costRateAtFailure: number | null;
  /**
   * Null where parts do not wear out, or costs are missing or the wrong way round; given with a
   * refusal, it is no advice.
   */
  optimum: Optimum | null;
}

/**
 * What lives say an interval of replacement should be. All uses are in the unit of the lives, all
 * costs in that of the costs.
 *
 * Refused below 5 failures; where the lower 95 % limit of the shape is not above 1, so that nothing
 * shows that parts wear out; without costs, or where a failure costs no more than a planned
 * replacement; where the 95 % band of the optimum is open or wider than a factor of 3; and where
 * the optimum is beyond the longest life on record.
 */
export function adviseInterval(given: readonly Life[], costs: ReplacementCosts | null): IntervalAdvice {
  const lives = groupLives(given);
  const [failures, longest] = [failuresOf(lives), longestOf(lives)];
  const fit = lives.length === 0 ? null : fitWeibull(lives);
  const law = fit && { shape: fit.shape.value, scale: fit.scale.value };
  const optimum = fit && law && costs ? optimumOf(fit, law, costs) : null;
  const refusals: [RefusalCode, boolean][] = [
    ['too-few-failures', failures < LEAST_FAILURES],
    ['no-law-fits', failures >= LEAST_FAILURES && fit === null],
    ['no-wear-out', fit !== null && !(fit.shape.low > 1)],
    ['no-costs', costs === null],
    ['failure-costs-no-more', costs !== null && !(costs.failure > costs.planned)],
    ['band-too-wide', optimum !== null && !(optimum.band.high <= WIDEST_BAND * optimum.band.low)],
    ['beyond-the-lives', optimum !== null && optimum.age > longest],
  ];
  const until = 1.25 * Math.max(longest, optimum === null ? 0 : Math.min(1.6 * optimum.age, 4 * longest));
  const ages = Array.from({ length: CURVE_STEPS }, (_, step) => (until * (step + 1)) / CURVE_STEPS);
  return {
    refusals: refusals.filter(([, applies]) => applies).map(([code]) => code),
    failures,
    longest,
    fit,
    survival: kaplanMeier(lives),
    fitted: law
      ? [0, ...ages].map((age) => ({ age, survival: Math.exp(-((age / law.scale) ** law.shape)) }))
      : [],
    goodnessOfFit: law && goodnessOfFit(lives, law),
    costCurve: law && costs ? ages.map((age) => ({ age, costRate: costRate(age, law, costs) })) : [],
    costRateAtFailure: law && costs ? costRate(Infinity, law, costs) : null,
    optimum,
  };
}

function optimumOf(
  fit: WeibullFit,
  law: { shape: number; scale: number },
  costs: ReplacementCosts,
): Optimum | null {
  const age = law.scale * Math.exp(logOptimum(law.shape, costs));
  if (!Number.isFinite(age)) return null;
  return {
    age,
    band: optimumBand(fit, costs),
    costRate: costRate(age, law, costs),
    costRateAtFailure: costRate(Infinity, law, costs),
  };
}
