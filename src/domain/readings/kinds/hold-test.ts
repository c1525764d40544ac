import { COMMON_PRACTICE } from '../../evaluation/common-practice.js';
import type { Evaluation } from '../../evaluation/evaluation.js';
import { evaluateHoldTest } from '../../pressure/hold-test.js';
import { holdTestProcedure } from '../../pressure/hold-test-procedure.js';
import type { HoldTestReading } from '../../pressure/hold-test-reading.js';
import { STANDARD_SEA_LEVEL_KPA } from '../../atmosphere/standard-atmosphere.js';
import { measuredValue } from '../contract/computed-values.js';
import type { SafetyKind } from '../contract/kind-of-reading.js';
import { placeOf, type ReadingContext, strengthInSystem } from '../contract/reading-context.js';
import { message } from '../messages.js';

type Finding =
  | 'pressure-test-failed'
  | 'vacuum-test-failed'
  | 'over-pressured'
  | 'pressure-test-unclear'
  | 'vacuum-test-unclear';

/**
 * A gauge is not set to the kilopascal: within five per cent of the cap's rating counts as at it
 * (common practice, no source).
 */
const AT_CAP_RATING = 0.95;

export const holdTest: SafetyKind<HoldTestReading, Finding> = {
  sheetValues: [
    'coolantBase',
    'targetStrengthPercent',
    'capRatingKpa',
    'maxTestPressureKpa',
    'holdTestMethod',
    'holdTestTargetKpa',
    'holdTestMinutes',
    'holdTestAllowedLossKpa',
  ],

  evaluate: (reading, by) => {
    const { coolant, job } = by;
    return evaluateHoldTest(reading, {
      ...placeOf(by),
      ...procedureOf(by),
      targetKpa: by.holdTest?.targetKpa,
      capRatingKpa: coolant?.capRatingKpa,
      maxTestPressureKpa: coolant?.maxTestPressureKpa,
      base: coolant?.base,
      strengthPercent: strengthInSystem(by),
      // A vacuum is pulled on the space that was drained; how much air a filled system holds is not
      // known.
      volumeL: reading.method === 'vacuum' && (job.evacuatedL ?? 0) > 0 ? job.evacuatedL : null,
      overPressure: 'record',
      practice: by.practice,
    });
  },

  findings: ({ method }, { verdict, computed }) => {
    const isPressure = method === 'pressure';
    if (verdict === 'inconclusive') return [isPressure ? 'pressure-test-unclear' : 'vacuum-test-unclear'];
    if (verdict !== 'fail') return [];
    return isPressure ? failuresUnderPressure(computed) : ['vacuum-test-failed'];
  },

  judgedFact: (reading, fact, { evaluation: { verdict, computed }, limits }) => {
    const procedure = holdTestProcedure(reading, procedureOf(limits), {
      ...COMMON_PRACTICE,
      ...limits.practice,
    });
    const capRatingKpa = limits.coolant?.capRatingKpa ?? null;
    return {
      ...fact,
      kind: 'hold-test',
      method: reading.method,
      verdict,
      ratePerMinuteKpa: measuredValue(computed.ratePerMinute),
      allowedRateKpa:
        procedure.allowedLossHereKpa(measuredValue(computed.atmosphere) ?? STANDARD_SEA_LEVEL_KPA) /
        procedure.minutes,
      expandedUncertaintyRate: (measuredValue(computed.expandedUncertainty) ?? 0) / reading.minutes,
      temperatureInDoubt: computed.temperatureInDoubt === true,
      atCapRating:
        reading.method === 'pressure' &&
        capRatingKpa !== null &&
        reading.startKpa >= AT_CAP_RATING * capRatingKpa,
    };
  },

  unsafe: {
    inWords: ({ method }) =>
      method === 'pressure'
        ? { what: message('finding-failed-pressure-test'), until: message('settled-by-pressure-test') }
        : { what: message('finding-failed-vacuum-test'), until: message('settled-by-vacuum-test') },
  },
};

function procedureOf({ holdTest: sheet }: ReadingContext) {
  return {
    procedureMethod: sheet?.method,
    allowedLossKpa: sheet?.allowedLossKpa,
    allowedMinutes: sheet?.minutes,
  };
}

function failuresUnderPressure({ overPressured, lostTooMuch }: Evaluation['computed']): Finding[] {
  if (overPressured !== true) return ['pressure-test-failed'];
  return lostTooMuch === true ? ['pressure-test-failed', 'over-pressured'] : ['over-pressured'];
}
