import { MS_PER_DAY } from '../../calendar/zone.js';
import { measure } from '../../quantities/measures.js';
import { told } from '../../quantities/told.js';
import { workTerm } from '../../intervals/terms.js';
import { isCoolingJob, losesKnownLevel } from '../balance/circuit-work.js';
import type { Moment } from '../balance/moments.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { LossEvidence, TopUpFact } from '../facts/types.js';
import { isWithin, spanBetween, thousandKmOf, type UsagePoint } from '../facts/usage-span.js';
import { message } from '../messages.js';
import type { Finding, Rule } from './rule.js';
import { ROUNDING } from './rounding.js';

interface LostTopUp {
  point: UsagePoint;
  lostL: number;
  evidence: LossEvidence;
}

interface TopUpState {
  recent: readonly LostTopUp[];
  lastJob: { point: UsagePoint; evidence: LossEvidence } | null;
  lostAtLeastL: number;
  /** What was lost from the present known level before an alert was cleared. */
  clearedLossL: number;
}

function topUpEvidence(fact: TopUpFact, settlingL: number): LossEvidence {
  return {
    factId: fact.id,
    kind: fact.kind,
    at: fact.at,
    message: message('loss-top-up', {
      added: measure('volume', fact.addedL),
      marked: fact.toMark ? 'yes' : 'no',
      settled: settlingL > 0 ? 'yes' : 'no',
      settling: measure('volume', settlingL),
    }),
    computed: { added: measure('volume', fact.addedL), settling: measure('volume', settlingL) },
  };
}

function together(
  topUps: readonly LostTopUp[],
  state: TopUpState,
  now: UsagePoint,
  context: WatchContext,
): Finding | null {
  const { settings, capacityL } = context;
  const first = topUps[0];
  if (first === undefined || now.ms - first.point.ms < (settings.topUpsApartHours / 24) * MS_PER_DAY)
    return null;
  const totalL = topUps.reduce((sum, topUp) => sum + topUp.lostL, 0);
  if (totalL < settings.topUpsShare * capacityL - ROUNDING) return null;
  const span = spanBetween(first.point, now);
  const job = state.lastJob;
  const sinceJob = job === null ? null : spanBetween(job.point, now);
  const isAfterJob = job !== null && sinceJob !== null && isWithin(sinceJob, settings.topUpWindow);
  return {
    evidence: [...(isAfterJob ? [job.evidence] : []), ...topUps.map((topUp) => topUp.evidence)],
    computed: {
      topUps: topUps.length,
      lost: measure('volume', totalL),
      shareOfCapacityPercent: (100 * totalL) / capacityL,
      days: span.days,
      distance: span.km === null ? null : measure('distance', span.km),
      engineHours: span.hours === null ? null : measure('engine-hours', span.hours),
      daysSinceJob: isAfterJob ? sinceJob.days : null,
    },
    basis: [
      message('basis-loss-top-ups', {
        share: 100 * settings.topUpsShare,
        capacity: told('volume', capacityL, 'L'),
      }),
    ],
  };
}

function atOnce(
  lostL: number,
  moment: Moment,
  isFromLevelAlone: boolean,
  context: WatchContext,
): Finding | null {
  const { settings, capacityL, levelNoiseL } = context;
  const shareL = settings.singleLossShare * capacityL;
  // Two levels of a small system differ by a tenth of its capacity through reading errors alone.
  const limitL = isFromLevelAlone
    ? Math.max(shareL, settings.singleLossSigmas * Math.SQRT2 * levelNoiseL)
    : shareL;
  if (lostL < limitL - ROUNDING) return null;
  const { fact } = moment;
  const evidence: LossEvidence =
    fact.kind === 'top-up'
      ? topUpEvidence(fact, moment.settlingL)
      : {
          factId: fact.id,
          kind: fact.kind,
          at: fact.at,
          message: message(
            moment.level === null ? 'loss-since-last-level-by-marks' : 'loss-since-last-level',
            { lost: measure('volume', lostL) },
          ),
          computed: { lost: measure('volume', lostL) },
        };
  return {
    evidence: [evidence],
    computed: { lost: measure('volume', lostL), shareOfCapacityPercent: (100 * lostL) / capacityL },
    basis: [
      message('basis-loss-at-once', {
        share: 100 * settings.singleLossShare,
        capacity: told('volume', capacityL, 'L'),
      }),
    ],
  };
}

/**
 * What a sound vehicle may lose from the last known level to one that is told by its marks, in L:
 * two spreads above what is usual. Between the marks nobody
 * tops up, so that a year's usual loss comes to light at once.
 */
function usualByMarks({ fact, level, lostSince, point }: Moment, { cohort, settings }: WatchContext): number {
  if (fact.kind !== 'level-check' || level !== null || lostSince === null) return 0;
  const run = thousandKmOf(spanBetween(lostSince, point), settings.hoursPer1000Km);
  return run === null ? Infinity : run * (cohort.mu0 + 2 * cohort.sigma);
}

function keepJob(state: TopUpState, moment: Moment): TopUpState {
  const { fact, point } = moment;
  if (fact.kind !== 'job' || fact.isBaseline || !isCoolingJob(fact)) return state;
  const evidence: LossEvidence = {
    factId: fact.id,
    kind: 'job',
    at: fact.at,
    message: message('loss-cooling-job', { work: fact.lines.map(workTerm) }),
    computed: {},
  };
  const after = { ...state, lastJob: { point, evidence } };
  return losesKnownLevel(fact) ? { ...after, lostAtLeastL: 0, clearedLossL: 0 } : after;
}

/**
 * Coolant that has to be topped up again and again, or one large loss.
 *
 * Finds two or more unplanned top-ups at least a day apart, within min(90 days, max(30 days,
 * 5,000 km, 150 h)) of each other (so that both follow one cooling job or neither does), together
 * at least 5 % of capacity; and at once a loss of 10 % of capacity since the last known cold
 * level. What settles after a fill is no loss. All limits are common practice without a published
 * source.
 *
 * @example 0.3 L and, twelve days later, 0.35 L added to a 12 L system: 0.65 L ≥ 0.6 L, found at the second.
 */
export const repeatTopUps: Rule<TopUpState> = {
  start: { recent: [], lastJob: null, lostAtLeastL: 0, clearedLossL: 0 },

  step(before, moment, context) {
    const { fact, point } = moment;
    let state = keepJob(before, moment);
    if (fact.kind === 'fill') state = { ...state, lostAtLeastL: 0, clearedLossL: 0 };
    const isUnplanned = fact.kind === 'top-up' && !fact.planned;
    const pouredL = isUnplanned ? fact.addedL - moment.settlingL : 0;

    if (isUnplanned && pouredL > ROUNDING) {
      const near = state.recent.filter((topUp) =>
        isWithin(spanBetween(topUp.point, point), context.settings.topUpWindow),
      );
      state = {
        ...state,
        recent: [...near, { point, lostL: pouredL, evidence: topUpEvidence(fact, moment.settlingL) }],
      };
    }
    const mayShowLoss = isUnplanned || (moment.lostAtLeastL !== null && fact.kind === 'level-check');
    const lostL = (moment.lostAtLeastL ?? pouredL) - state.clearedLossL - usualByMarks(moment, context);
    const large = mayShowLoss ? atOnce(lostL, moment, fact.kind === 'level-check', context) : null;
    const repeated = isUnplanned && pouredL > ROUNDING ? together(state.recent, state, point, context) : null;

    if (moment.level !== null) state = { ...state, lostAtLeastL: 0, clearedLossL: 0 };
    else if (moment.lostAtLeastL !== null) state = { ...state, lostAtLeastL: moment.lostAtLeastL };
    return { state, finding: repeated ?? large };
  },

  restart: (state) => ({ ...state, recent: [], clearedLossL: state.lostAtLeastL }),
};
