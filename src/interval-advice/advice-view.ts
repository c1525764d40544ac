import { inSystem, MEASURES } from '../domain/quantities/measures.js';
import type { IntervalAdvice } from '../domain/reliability/advise-interval.js';
import { LEFT_OUT, type PartLives } from '../domain/reliability/part-lives.js';
import type { Estimate } from '../domain/reliability/weibull-fit.js';
import { optionalMeasure } from '../platform/presenting/measures.js';
import {
  adviceBasis,
  adviceCautions,
  adviceWords,
  LEFT_OUT_WORDS,
  refusalDetail,
  sayUseIn,
} from './advice-words.js';
import { againstBand } from './against-band.js';
import type { AskedFor } from './asked-for.js';
import type { CurrentInterval } from './current-intervals.js';
import { type IntervalAdviceView, type LivesView, MAX_STEPS } from './interval-advice.dto.js';

const METHOD =
  'χ² of observed against expected failures in cells of age, both parameters estimated (Hjort 1990)';

/** The answer in the reader's units. Lists name their unit once. */
export function adviceView(
  asked: AskedFor,
  parts: PartLives,
  advice: IntervalAdvice,
  plans: readonly CurrentInterval[],
): IntervalAdviceView {
  const { component, item, specSheetId, duty, by, units } = asked;
  const unit = MEASURES[by][units];
  const use = (value: number): number => inSystem(by, value, units).value;
  const say = sayUseIn(unit, use);
  const { refusals, fit, goodnessOfFit, optimum } = advice;
  const isAdvised = refusals.length === 0;
  // Costs of one km are too small to read.
  const many = by === 'distance' ? 1000 : 1;
  const cost = (rate: number): number => (rate * many) / use(1);
  const spread = ({ value, low, high, standardError }: Estimate) => ({
    ...{ value: use(value), unit, low: use(low), high: use(high), standardError: use(standardError) },
  });
  return {
    status: isAdvised ? 'advised' : 'refused',
    refusals: refusals.map((code) => ({ code, detail: refusalDetail(code, advice, say) })),
    ...{ component, item, specSheetId, duty, by },
    lives: livesView(asked, parts, advice),
    weibull: fit && {
      shape: { ...fit.shape },
      scale: spread(fit.scale),
      b10: spread(fit.b10),
      logLikelihood: fit.logLikelihood,
    },
    survival: {
      unit,
      steps: thinned(advice.survival).map(({ age, ...step }) => ({ at: use(age), ...step })),
      fitted: advice.fitted.map(({ age, survival }) => ({ at: use(age), survival })),
    },
    goodnessOfFit: goodnessOfFit && {
      method: METHOD,
      ...goodnessOfFit,
      cells: goodnessOfFit.cells.map(({ upTo, ...cell }) => ({
        upTo: Number.isFinite(upTo) ? use(upTo) : null,
        ...cell,
      })),
    },
    costCurve:
      advice.costCurve.length === 0
        ? null
        : {
            unit,
            per: by === 'distance' ? `1000 ${unit}` : unit,
            points: advice.costCurve.map(({ age, costRate }) => ({ at: use(age), cost: cost(costRate) })),
            atFailureOnly: cost(advice.costRateAtFailure!),
          },
    optimum:
      isAdvised && optimum
        ? {
            interval: {
              value: use(optimum.age),
              unit,
              low: use(optimum.band.low),
              high: use(optimum.band.high),
            },
            cost: cost(optimum.costRate),
            savingPercent: 100 * (1 - optimum.costRate / optimum.costRateAtFailure),
          }
        : null,
    currentIntervals: plans.map(({ every, ...plan }) => ({
      ...plan,
      every: optionalMeasure(by, every),
      comparison: isAdvised && optimum && every !== null ? againstBand(every, optimum.band) : null,
    })),
    advice: adviceWords(asked, advice, plans, say),
    basis: adviceBasis(advice),
    cautions: adviceCautions(asked, parts, advice),
  };
}

function livesView(
  { by, vehicles }: AskedFor,
  { lives, leftOut }: PartLives,
  advice: IntervalAdvice,
): LivesView {
  const count = <T>(list: readonly T[], test: (one: T) => boolean): number => list.filter(test).length;
  const duty = (wanted: string): number => count(lives, (life) => life.duty === wanted);
  return {
    vehicles,
    total: lives.length,
    failed: count(lives, ({ ended }) => ended === 'failed'),
    replaced: count(lives, ({ ended }) => ended === 'replaced'),
    running: count(lives, ({ ended }) => ended === 'running'),
    delayed: count(lives, ({ entry }) => entry > 0),
    duties: { normal: duty('normal'), severe: duty('severe'), mixed: duty('mixed') },
    longest: optionalMeasure(by, lives.length === 0 ? null : advice.longest),
    leftOut: LEFT_OUT.map((reason) => ({
      reason,
      count: count(leftOut, (one) => one === reason),
      detail: LEFT_OUT_WORDS[reason],
    })).filter((entry) => entry.count > 0),
  };
}

/** Evenly picked, first and last kept, where there are more than a screen can tell apart. */
function thinned<T>(steps: readonly T[]): T[] {
  if (steps.length <= MAX_STEPS) return [...steps];
  const stride = (steps.length - 1) / (MAX_STEPS - 1);
  return Array.from({ length: MAX_STEPS }, (_, index) => steps[Math.round(index * stride)]!);
}
