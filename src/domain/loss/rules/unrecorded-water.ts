import { ImpossibleValue } from '../../impossible-value.js';
import { measure } from '../../quantities/measures.js';
import { told } from '../../quantities/told.js';
import { changesCoolant } from '../balance/circuit-work.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { FreezePointFact, LossEvidence } from '../facts/types.js';
import { hasRun, spanBetween, type UsagePoint } from '../facts/usage-span.js';
import { message } from '../messages.js';
import type { Finding, Rule } from './rule.js';

/** A strength and its expanded uncertainty (k = 2), both in volume %. */
export interface Strength {
  percent: number;
  uncertaintyPercent: number;
}

/**
 * The strength expected after a top-up of a full open system: C ← (C·(V − a) + c_r·a)/V,
 * conservation of glycol; the uncertainty shrinks with
 * the share that stays. A top-up of unknown strength counts as water, which expects the least and
 * so accuses nobody.
 *
 * @param addedL, capacityL in L; addedStrengthPercent in volume % or null.
 * @example strengthAfterTopUp({ percent: 50, uncertaintyPercent: 1 }, 1, 0, 10) // { percent: 45, uncertaintyPercent: 0.9 }
 */
export function strengthAfterTopUp(
  strength: Strength,
  addedL: number,
  addedStrengthPercent: number | null,
  capacityL: number,
): Strength {
  const stays = Math.max(0, capacityL - addedL) / capacityL;
  return {
    percent: strength.percent * stays + (addedStrengthPercent ?? 0) * (1 - stays),
    uncertaintyPercent: strength.uncertaintyPercent * stays,
  };
}

export interface WaterBounds {
  /** The least amount, if it replaced coolant in one go: V·(1 − C₁/C*). */
  atLeastL: number;
  /** Expanded uncertainty (k = 2) of `atLeastL`. */
  uncertaintyL: number;
  /** The greatest amount, if loss and filling went on together all the time: V·ln(C*╱C₁). */
  atMostL: number;
}

/**
 * How much water must have come in unrecorded, for the strength to be lower than expected.
 *
 * One replacement in one go leaves C₁ = C*·(V − w)/V; a slow one C₁ = C*·e^(−w/V): the two ends
 * between which the truth lies. The uncertainty combines both readings by JCGM 100 (5.1.2): U =
 * (V/C*)·√(U₁² + (C₁/C*)²·U*²).
 *
 * @returns volumes in L. @throws ImpossibleValue when a strength is not above zero.
 * @example unrecordedWater({ percent: 50, uncertaintyPercent: 0.6 }, { percent: 45, uncertaintyPercent: 0.6 }, 12) // atLeastL 1.2, uncertaintyL 0.194, atMostL 1.264
 */
export function unrecordedWaterBounds(
  expected: Strength,
  measured: Strength,
  capacityL: number,
): WaterBounds {
  if (!(expected.percent > 0) || !(measured.percent > 0)) {
    const [field, value] =
      expected.percent > 0 ? ['measured', measured.percent] : ['expected', expected.percent];
    const detail = message('loss-strengths-not-above-zero', {
      expected: expected.percent,
      measured: measured.percent,
    });
    throw new ImpossibleValue({ field, value, limit: { above: 0 }, detail });
  }
  const ratio = measured.percent / expected.percent;
  return {
    atLeastL: capacityL * (1 - ratio),
    uncertaintyL:
      (capacityL / expected.percent) *
      Math.hypot(measured.uncertaintyPercent, ratio * expected.uncertaintyPercent),
    atMostL: capacityL * Math.log(1 / ratio),
  };
}

export interface WaterState {
  reference: FreezePointFact | null;
  expected: Strength | null;
  lastAddition: UsagePoint | null;
  /** The latest usable reading, from which the watch continues after clearing. */
  latest: FreezePointFact | null;
  topUps: readonly LossEvidence[];
}

const UNKNOWN: Pick<WaterState, 'reference' | 'expected' | 'latest' | 'topUps'> = {
  reference: null,
  expected: null,
  latest: null,
  topUps: [],
};

function strengthOf(fact: FreezePointFact): Strength | null {
  return fact.strengthVolumePercent === null || !(fact.strengthVolumePercent > 0)
    ? null
    : { percent: fact.strengthVolumePercent, uncertaintyPercent: fact.uncertaintyPercent };
}

/** A measured strength, with the expected one for the reading that fell short. */
function strengthEvidence(
  fact: FreezePointFact,
  measured: Strength,
  expectedPercent: number | null,
): LossEvidence {
  const strength = Math.round(measured.percent);
  const method = message(`loss-method-${fact.method}`);
  return {
    factId: fact.id,
    kind: 'freeze-point',
    at: fact.at,
    message:
      expectedPercent === null
        ? message('loss-strength-before', { strength, method })
        : message('loss-strength-fell', { expected: Math.round(expectedPercent), strength, method }),
    computed: { strengthPercent: measured.percent, uncertaintyPercent: measured.uncertaintyPercent },
  };
}

function judge(
  state: WaterState,
  fact: FreezePointFact,
  measured: Strength,
  context: WatchContext,
): Finding | null {
  if (state.reference === null || state.expected === null || state.expected.percent <= 0) return null;
  const { capacityL, settings } = context;
  const bounds = unrecordedWaterBounds(state.expected, measured, capacityL);
  if (bounds.atLeastL - bounds.uncertaintyL <= settings.waterShare * capacityL) return null;
  const referenceStrength = strengthOf(state.reference);
  return {
    evidence: [
      ...(referenceStrength ? [strengthEvidence(state.reference, referenceStrength, null)] : []),
      ...state.topUps,
      strengthEvidence(fact, measured, state.expected.percent),
    ],
    computed: {
      expectedStrengthPercent: state.expected.percent,
      measuredStrengthPercent: measured.percent,
      waterAtLeast: measure('volume', bounds.atLeastL),
      waterAtLeastUncertainty: measure('volume', bounds.uncertaintyL),
      waterAtMost: measure('volume', bounds.atMostL),
    },
    basis: [
      message('basis-loss-water', { capacity: told('volume', capacityL, 'L') }),
      message('basis-loss-water-share', { share: 100 * settings.waterShare }),
    ],
  };
}

/**
 * Water that was poured in and not recorded: the strength fell below what the recorded top-ups
 * explain.
 *
 * Compares each mixed reading with the first one after the last fill, stepped through every
 * recorded top-up. Test strips (±5 °C) and samples taken before
 * the coolant has mixed decide nothing; a warm-up with the thermostat open mixes it. Without a spec
 * sheet the capacity is unknown, and so is the volume: no finding.
 */
export const unrecordedWater: Rule<WaterState> = {
  start: { ...UNKNOWN, lastAddition: null },

  step(state, moment, context) {
    const { fact, point } = moment;
    if (fact.kind === 'fill' || (fact.kind === 'job' && changesCoolant(fact))) {
      return { state: { ...UNKNOWN, lastAddition: point }, finding: null };
    }
    if (fact.kind === 'top-up') {
      const expected =
        state.expected &&
        strengthAfterTopUp(state.expected, fact.addedL, fact.strengthPercent, context.capacityL);
      const topUp: LossEvidence = {
        factId: fact.id,
        kind: 'top-up',
        at: fact.at,
        message: message('loss-top-up-strength', {
          added: measure('volume', fact.addedL),
          poured:
            fact.strengthPercent === null ? 'unknown' : fact.strengthPercent === 0 ? 'water' : 'mixture',
          strength: Math.round(fact.strengthPercent ?? 0),
        }),
        computed: { added: measure('volume', fact.addedL), strengthPercent: fact.strengthPercent },
      };
      const topUps = state.reference === null ? state.topUps : [...state.topUps, topUp];
      // A reading from before this top-up no longer gives the present strength.
      return { state: { ...state, expected, topUps, latest: null, lastAddition: point }, finding: null };
    }
    if (
      fact.kind !== 'freeze-point' ||
      fact.method === 'test-strip' ||
      fact.mixed === false ||
      !context.isCapacityKnown
    ) {
      return { state, finding: null };
    }
    const measured = strengthOf(fact);
    if (measured === null) return { state, finding: null };
    if (state.lastAddition !== null && fact.mixed !== true) {
      const span = spanBetween(state.lastAddition, point);
      const isUsageKnown = span.km !== null || span.hours !== null;
      const { mixing } = context.settings;
      if (isUsageKnown ? !hasRun(span, mixing) : span.days < mixing.days) return { state, finding: null };
    }
    if (state.reference === null)
      return { state: { ...state, reference: fact, expected: measured, latest: fact }, finding: null };
    return { state: { ...state, latest: fact }, finding: judge(state, fact, measured, context) };
  },

  restart: (state) => ({
    ...UNKNOWN,
    lastAddition: state.lastAddition,
    reference: state.latest,
    expected: state.latest && strengthOf(state.latest),
    latest: state.latest,
  }),
};
