import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import { measure } from '../quantities/measures.js';
import { requireNotNegative, requirePositive } from '../quantities/plausible.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

/** A pressure cap on a tester; kPa gauge. */
export interface CapTestReading {
  kind: 'cap-test';
  opensAtKpa?: number | null;
  holdsAtKpa?: number | null;
  /** The valve that lets air or coolant back in while cooling. */
  vacuumValveOk?: boolean | null;
  /** The pressure unit that was typed. */
  unit: Unit;
}

/**
 * Judges a cap: holds at least 90 % of its rating and opens at no more than 115 % (common
 * practice), vacuum valve in order.
 *
 * @param reading kPa gauge
 * @param around the cap's rating in kPa gauge, or unknown
 * @returns verdict null without a rating and nothing wrong; computed: `leastHold`, `mostOpening`
 * (null without a rating)
 * @throws ImpossibleValue for negative pressures or a rating that is not above zero.
 * @example evaluateCapTest({ kind: 'cap-test', opensAtKpa: 112, holdsAtKpa: 105, vacuumValveOk: true, unit: 'kPa' }, { capRatingKpa: 110 }).verdict // 'pass'
 */
export function evaluateCapTest(
  reading: CapTestReading,
  around: { capRatingKpa?: number | null; practice?: CommonPractice } = {},
): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const { unit } = reading;
  const opensAtKpa =
    reading.opensAtKpa == null ? null : requireNotNegative('opensAt', reading.opensAtKpa, 'kPa');
  const holdsAtKpa =
    reading.holdsAtKpa == null ? null : requireNotNegative('holdsAt', reading.holdsAtKpa, 'kPa');
  const ratingKpa =
    around.capRatingKpa == null ? null : requirePositive('capRating', around.capRatingKpa, 'kPa');
  const findings = noFindings();
  const { fails, doubts } = findings;
  if (reading.vacuumValveOk === false) fails.push(message('cap-vacuum-valve-stuck'));
  const leastKpa = ratingKpa === null ? null : ratingKpa * practice.capHoldsShare;
  const mostKpa = ratingKpa === null ? null : ratingKpa * practice.capOpensShare;
  if (ratingKpa !== null && leastKpa !== null && mostKpa !== null) {
    const rating = told('pressure', ratingKpa, unit);
    // A cap cannot hold more than the pressure at which it opens.
    const heldKpa = holdsAtKpa === null ? opensAtKpa : Math.min(holdsAtKpa, opensAtKpa ?? Infinity);
    if (heldKpa !== null && heldKpa < leastKpa * (1 - 1e-9))
      fails.push(
        message('cap-holds-too-little', {
          held: told('pressure', heldKpa, unit),
          least: told('pressure', leastKpa, unit, 'up'),
          rating,
        }),
      );
    if (opensAtKpa !== null && opensAtKpa > mostKpa * (1 + 1e-9))
      fails.push(
        message('cap-opens-too-late', {
          opens: told('pressure', opensAtKpa, unit),
          most: told('pressure', mostKpa, unit, 'down'),
          rating,
        }),
      );
    if (holdsAtKpa === null) doubts.push(message('cap-hold-not-read'));
    if (opensAtKpa === null) doubts.push(message('cap-opening-not-read'));
  }
  const concluded = conclude(findings, message('cap-as-rated'));
  const judged = ratingKpa !== null || concluded.verdict === 'fail';
  return {
    verdict: judged ? concluded.verdict : null,
    reasons: judged ? concluded.reasons : [message('cap-rating-unknown')],
    computed: {
      leastHold: leastKpa === null ? null : measure('pressure', leastKpa),
      mostOpening: mostKpa === null ? null : measure('pressure', mostKpa),
    },
    cautions: cautionsFor('pressure-test'),
    basis: [
      message('basis-cap-shares', {
        holds: 100 * practice.capHoldsShare,
        opens: 100 * practice.capOpensShare,
      }),
    ],
  };
}
