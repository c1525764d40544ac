import type { Atmosphere } from '../../atmosphere/atmosphere.js';
import type { CommonPractice } from '../../evaluation/common-practice.js';
import type { HoldTestLimits } from '../../pressure/hold-test-procedure.js';
import { message } from '../messages.js';
import type { UnitSystem } from '../../quantities/measures.js';
import type { Message } from '../../message.js';
import type { CardWork } from '../work/card-work.js';
import { type HoldTestForJob, holdTestForJob } from './hold-test-for-job.js';

/** The hold tests of a job card. */
export interface HoldTestsForJob {
  /** The one that belongs to the work; null where none does. */
  holdTest: HoldTestForJob | null;
  /**
   * An extra pressure test where coolant is being lost, because a vacuum pulls a leaking seal shut.
   */
  proofTest: HoldTestForJob | null;
}

/**
 * Which hold tests a job needs, each as `holdTestForJob` computes it for the place.
 *
 * Source: common practice, no published source.
 *
 * @param limits the sheet's; kPa, minutes
 * @param losesCoolant a loss alert or a leak stands that a passed vacuum test would not settle
 * @param place where the work is done, with the reader's units and the defaults of the trade
 */
export function holdTestsForJob(
  work: CardWork,
  limits: HoldTestLimits,
  losesCoolant: boolean,
  place: { atmosphere: Atmosphere; units: UnitSystem; practice: CommonPractice },
): HoldTestsForJob & { missing: Message[]; basis: Message[] } {
  const drawn = (method: 'vacuum' | 'pressure') =>
    holdTestForJob(method, limits, place.atmosphere, place.units, place.practice);
  const asked = work.holdTest ? drawn(methodFor(work, limits)) : null;
  const proof = losesCoolant && asked?.test.method !== 'pressure' ? drawn('pressure') : null;
  return {
    holdTest: asked?.test ?? null,
    proofTest: proof?.test ?? null,
    missing: [
      ...(work.holdTest && limits.procedureMethod == null ? [message('card-no-hold-test-procedure')] : []),
      ...(asked?.missing ?? []),
      ...(proof?.missing ?? []),
    ],
    basis: [...(asked?.basis ?? []), ...(proof?.basis ?? [])],
  };
}

/**
 * A vacuum prepares the filling of a drained system. One that keeps most of its coolant is tested
 * filled, by pressure, where a rating is known.
 */
function methodFor(work: CardWork, limits: HoldTestLimits): 'vacuum' | 'pressure' {
  const isRated = (limits.maxTestPressureKpa ?? limits.capRatingKpa) != null;
  if (work.opens === 'some' && isRated) return 'pressure';
  // Without a procedure on the sheet: the test that common practice gives a target for.
  return limits.procedureMethod ?? (isRated ? 'pressure' : 'vacuum');
}
