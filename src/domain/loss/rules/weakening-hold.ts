import { measure } from '../../quantities/measures.js';
import { mannKendall } from '../../statistics/mann-kendall.js';
import { isCoolingJob, isRepair } from '../balance/circuit-work.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { HoldTestFact, LossEvidence } from '../facts/types.js';
import { message } from '../messages.js';
import type { Finding, Rule } from './rule.js';

/** A test with a computed rate that is evidence. */
type RatedTest = HoldTestFact & { ratePerMinuteKpa: number };

interface HoldState {
  /** Tests since the last repair, by method. */
  rated: Readonly<Record<HoldTestFact['method'], readonly RatedTest[]>>;
  /** The last pass with no cooling job since, by method. */
  passed: Readonly<Record<HoldTestFact['method'], HoldTestFact | null>>;
}

const NO_TESTS: HoldState['rated'] = { vacuum: [], pressure: [] };
const NO_PASSES: HoldState['passed'] = { vacuum: null, pressure: null };

// A rate that the temperature may explain is no evidence; a loss that fails even so is.
function isRated(test: HoldTestFact): test is RatedTest {
  return test.ratePerMinuteKpa !== null && !(test.temperatureInDoubt === true && test.verdict !== 'fail');
}

function holdEvidence(test: HoldTestFact): LossEvidence {
  const { method, ratePerMinuteKpa, allowedRateKpa, verdict } = test;
  // By minutes a rate is too small to be read on a gauge.
  const inTenMinutes = (ratePerMinute: number) => measure(method, 10 * ratePerMinute);
  return {
    factId: test.id,
    kind: 'hold-test',
    at: test.at,
    message: message('loss-hold-test', {
      method,
      verdict: verdict ?? 'none',
      rated: ratePerMinuteKpa === null ? 'no' : 'yes',
      lost: inTenMinutes(Math.max(0, ratePerMinuteKpa ?? 0)),
      allowed: inTenMinutes(allowedRateKpa),
    }),
    computed: {
      ratePerMinuteKpa,
      allowedRateKpa,
      expandedUncertaintyRate: test.expandedUncertaintyRate,
      verdict,
    },
  };
}

/**
 * Whether hold tests of one method show a leak that grows: Mann–Kendall exact one-sided p below
 * the limit, the last rate above half of the allowed one, and risen by more than the expanded
 * uncertainty of the difference (JCGM 100, 5.1.2).
 */
function judgeTrend(tests: readonly RatedTest[], context: WatchContext): Finding | null {
  const { settings } = context;
  const first = tests[0];
  const last = tests.at(-1);
  if (first === undefined || last === undefined || tests.length < settings.holdTestsAtLeast) return null;
  const roseKpa = last.ratePerMinuteKpa - first.ratePerMinuteKpa;
  if (last.ratePerMinuteKpa <= settings.holdTrendShare * last.allowedRateKpa) return null;
  if (roseKpa <= Math.hypot(first.expandedUncertaintyRate, last.expandedUncertaintyRate)) return null;
  const { s, pRising: oneSidedP } = mannKendall(tests.map((test) => test.ratePerMinuteKpa));
  if (s <= 0 || oneSidedP >= settings.holdTrendP) return null;
  return {
    evidence: tests.map(holdEvidence),
    computed: {
      method: last.method,
      tests: tests.length,
      mannKendallS: s,
      oneSidedP,
      firstRateKpa: first.ratePerMinuteKpa,
      lastRateKpa: last.ratePerMinuteKpa,
      allowedRateKpa: last.allowedRateKpa,
    },
    basis: [message('basis-loss-hold-trend', { limit: settings.holdTrendP, method: last.method })],
  };
}

function judgeFail(passed: HoldTestFact, failed: HoldTestFact): Finding {
  return {
    evidence: [holdEvidence(passed), holdEvidence(failed)],
    computed: { method: failed.method, passedAt: passed.at, failedAt: failed.at },
    basis: [message('basis-loss-hold-failed', { method: failed.method })],
  };
}

/**
 * A system that holds less and less: rising hold-test rates since the last repair (at least five
 * tests of one method), or a failed test after a passed one
 * with no cooling job in between.
 */
export const weakeningHold: Rule<HoldState> = {
  start: { rated: NO_TESTS, passed: NO_PASSES },

  step(state, { fact }, context) {
    if (fact.kind === 'job') {
      const rated = isRepair(fact) ? NO_TESTS : state.rated;
      return { state: { rated, passed: isCoolingJob(fact) ? NO_PASSES : state.passed }, finding: null };
    }
    if (fact.kind !== 'hold-test') return { state, finding: null };
    const { method } = fact;
    const rated = isRated(fact) ? { ...state.rated, [method]: [...state.rated[method], fact] } : state.rated;
    const passedBefore = state.passed[method];
    const passed = fact.verdict === 'pass' ? { ...state.passed, [method]: fact } : state.passed;
    const failed = fact.verdict === 'fail' && passedBefore !== null ? judgeFail(passedBefore, fact) : null;
    const trend = isRated(fact) ? judgeTrend(rated[method], context) : null;
    return { state: { rated, passed }, finding: failed ?? trend };
  },

  restart: (state) => ({ ...state, rated: NO_TESTS }),
};
