import { shownMessage, shownMessages } from '../../platform/words/shown-messages.js';
import { inSystem, MEASURES } from '../../domain/quantities/measures.js';
import { STARTER_INTERVAL } from '../../domain/evaluation/starter-mark.js';
import type { IntervalAdvice } from '../../domain/reliability/advise-interval.js';
import { LEFT_OUT, type PartLives } from '../../domain/reliability/part-lives.js';
import type { Estimate } from '../../domain/reliability/weibull-fit.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import {
  adviceBasis,
  adviceCautions,
  adviceWords,
  LEFT_OUT_WORDS,
  refusalDetail,
  tellUseFor,
} from './advice-words.js';
import { againstBand } from './against-band.js';
import type { AskedFor } from './asked-for.js';
import type { CurrentInterval } from './current-intervals.js';
import { message } from './messages.js';
import { type IntervalAdviceView, type LivesView, MAX_STEPS } from './interval-advice.dto.js';

/** Converts uses (km or h) and costs to the reader's unit. */
interface Reader {
  by: AskedFor['by'];
  unit: string;
  use: (value: number) => number;
  /** A cost per km or h, converted to a cost per `per`. */
  cost: (rate: number) => number;
  per: string;
}

function readerOf({ by, units }: AskedFor): Reader {
  const unit = MEASURES[by][units];
  const use = (value: number): number => inSystem(by, value, units).value;
  // The cost of a single km is too small to read.
  const many = by === 'distance' ? 1000 : 1;
  return {
    ...{ by, unit, use },
    cost: (rate) => (rate * many) / use(1),
    per: by === 'distance' ? `1000 ${unit}` : unit,
  };
}

/** The response in the reader's units. A list names its unit once. */
export function adviceView(
  asked: AskedFor,
  parts: PartLives,
  advice: IntervalAdvice,
  plans: readonly CurrentInterval[],
): IntervalAdviceView {
  const { component, item, specSheetId, duty, by } = asked;
  const reader = readerOf(asked);
  const tell = tellUseFor(asked);
  const { refusals } = advice;
  // Without advice, no optimum is shown.
  const optimum = refusals.length === 0 ? advice.optimum : null;
  return {
    status: refusals.length === 0 ? 'advised' : 'refused',
    refusals: refusals.map((code) => ({
      code,
      detail: shownMessage(refusalDetail(code, advice, tell)),
    })),
    ...{ component, item, specSheetId, duty, by },
    lives: livesView(asked, parts, advice),
    weibull: weibullView(advice, reader),
    survival: survivalView(advice, reader),
    goodnessOfFit: goodnessView(advice, reader),
    costCurve: costCurveView(advice, reader),
    optimum: optimum && optimumView(optimum, reader),
    currentIntervals: plans.map(({ every, isStarter, ...plan }) => ({
      ...plan,
      basis: shownMessages(isStarter ? [STARTER_INTERVAL] : []),
      every: optionalMeasure(by, every),
      comparison: optimum && every !== null ? againstBand(every, optimum.band) : null,
    })),
    advice: shownMessages(adviceWords(asked, advice, plans, tell)),
    basis: shownMessages(adviceBasis(advice, plans)),
    cautions: shownMessages(adviceCautions(asked, parts, advice)),
  };
}

function weibullView({ fit }: IntervalAdvice, { unit, use }: Reader): IntervalAdviceView['weibull'] {
  if (fit === null) return null;
  const spread = ({ value, low, high, standardError }: Estimate) => ({
    ...{ value: use(value), unit, low: use(low), high: use(high), standardError: use(standardError) },
  });
  return {
    shape: { ...fit.shape },
    scale: spread(fit.scale),
    b10: spread(fit.b10),
    logLikelihood: fit.logLikelihood,
  };
}

function survivalView(
  { survival, fitted }: IntervalAdvice,
  { unit, use }: Reader,
): IntervalAdviceView['survival'] {
  return {
    unit,
    steps: thinned(survival).map(({ age, ...step }) => ({ at: use(age), ...step })),
    fitted: fitted.map(({ age, survival: share }) => ({ at: use(age), survival: share })),
  };
}

function goodnessView(
  { goodnessOfFit }: IntervalAdvice,
  { use }: Reader,
): IntervalAdviceView['goodnessOfFit'] {
  if (goodnessOfFit === null) return null;
  const cells = goodnessOfFit.cells.map(({ upTo, ...cell }) => ({
    upTo: Number.isFinite(upTo) ? use(upTo) : null,
    ...cell,
  }));
  return { method: shownMessage(message('basis-goodness-cells')), ...goodnessOfFit, cells };
}

function costCurveView(
  { costCurve, costRateAtFailure }: IntervalAdvice,
  { unit, use, cost, per }: Reader,
): IntervalAdviceView['costCurve'] {
  if (costCurve.length === 0) return null;
  return {
    ...{ unit, per },
    points: costCurve.map(({ age, costRate }) => ({ at: use(age), cost: cost(costRate) })),
    atFailureOnly: cost(costRateAtFailure!),
  };
}

function optimumView(
  { age, band, costRate, costRateAtFailure }: NonNullable<IntervalAdvice['optimum']>,
  { unit, use, cost }: Reader,
): IntervalAdviceView['optimum'] {
  return {
    interval: { value: use(age), unit, low: use(band.low), high: use(band.high) },
    cost: cost(costRate),
    savingPercent: 100 * (1 - costRate / costRateAtFailure),
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
      detail: shownMessage(LEFT_OUT_WORDS[reason]),
    })).filter((entry) => entry.count > 0),
  };
}

/**
 * Picks steps evenly, including the first and the last, when there are more than a screen can show.
 */
function thinned<T>(steps: readonly T[]): T[] {
  if (steps.length <= MAX_STEPS) return [...steps];
  const stride = (steps.length - 1) / (MAX_STEPS - 1);
  return Array.from({ length: MAX_STEPS }, (_, index) => steps[Math.round(index * stride)]!);
}
