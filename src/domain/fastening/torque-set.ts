import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../checks/common-practice.js';
import { conclude, noFindings } from '../checks/findings.js';
import { requirePositive } from '../checks/plausible.js';
import { plain, say, unitInWords } from '../checks/wording.js';
import type { Evaluation } from '../evaluation.js';
import { ImpossibleValue } from '../impossible-value.js';
import { measure } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { torqueLimits, type FastenerGroup } from './fastener-group.js';
import { unitSlip } from './unit-slip.js';

/** The fasteners of one group as tightened. Either `valuesNm`, or `setToNm` with how many were tightened to it. */
export interface TorqueSetReading {
  kind: 'torque-set';
  /** The group's name on the spec sheet. */
  fastener: string;
  /** The torque unit that was typed, for wording. */
  unit: Unit;
  valuesNm?: readonly number[] | null;
  setToNm?: number | null;
  count?: number | null;
  /** The wrench's setting (default), or a measured torque. */
  source?: 'setting' | 'measured' | null;
  toolUncertaintyPercent?: number | null;
}

/**
 * Uncertainty of a torque tool, as a share of the reading.
 *
 * Source: ISO 6789, permissible deviation: ±4 %, ±6 % for tools up to 10 N·m.
 *
 * @param torqueNm N·m
 * @returns %
 * @example toolUncertaintyPercent(9) // 6
 */
export function toolUncertaintyPercent(torqueNm: number): number {
  return torqueNm <= 10 ? 6 : 4;
}

/**
 * Judges a set of fasteners: each within its limits and none missing. A wrench's setting is taken as it is (simple acceptance); a measured torque gets a guard band of its tool's
 * uncertainty (JCGM 106).
 *
 * @param reading N·m
 * @param group the fastener group from the spec sheet, N·m; null when unknown
 * @returns verdict null without a torque to judge by; computed: `torques`, `outside` (positions from 1), `missing` (null when the count is unknown)
 * @throws ImpossibleValue for more values than fasteners, values that are not above zero, or
 *   neither values nor a setting with its count.
 * @example evaluateTorqueSet({ kind: 'torque-set', fastener: 'pump', unit: 'N.m', setToNm: 11, count: 9 }, { name: 'pump', count: 9, torqueNm: 11 }).verdict // 'pass'
 */
export function evaluateTorqueSet(
  reading: TorqueSetReading,
  group: FastenerGroup | null,
  practice: CommonPractice = COMMON_PRACTICE,
): Evaluation {
  const { unit } = reading;
  const torquesNm = torquesOf(reading);
  const expected = group?.count ?? null;
  if (expected !== null && torquesNm.length > expected) {
    throw new ImpossibleValue({
      field: 'values',
      value: torquesNm.length,
      limit: { max: expected },
      detail: `${torquesNm.length} torques for ${reading.fastener}, which has ${expected} fasteners; count each fastener once`,
    });
  }
  const limits = group === null ? null : torqueLimits(group, practice, unit);
  const findings = noFindings();
  const missing = expected === null ? null : expected - torquesNm.length;
  const outside: number[] = [];
  const measured = reading.source === 'measured';
  const basis = [...(limits?.basis ?? [])];
  if (limits !== null) {
    const { minNm, maxNm } = limits;
    const percent =
      reading.toolUncertaintyPercent ?? toolUncertaintyPercent(limits.nominalNm ?? torquesNm[0] ?? maxNm);
    if (measured) {
      requirePositive('toolUncertaintyPercent', percent, '%');
      basis.push(
        `measured: guard band of ±${plain(percent)} % (${reading.toolUncertaintyPercent == null ? 'ISO 6789' : 'as given for the tool'})`,
      );
    } else basis.push("wrench's setting: simple acceptance");
    const allowed = `${say(minNm, 'N.m', unit)} to ${say(maxNm, 'N.m', unit)}`;
    torquesNm.forEach((torqueNm, index) => {
      const guardNm = measured ? (torqueNm * percent) / 100 : 0;
      const noise = 1e-9 * maxNm;
      const told = `Fastener ${index + 1}: ${say(torqueNm, 'N.m', unit)}`;
      if (torqueNm - guardNm > maxNm + noise || torqueNm + guardNm < minNm - noise) {
        outside.push(index + 1);
        findings.fails.push(`${told} is outside ${allowed}: put it right now, before the vehicle leaves.`);
      } else if (torqueNm + guardNm > maxNm + noise || torqueNm - guardNm < minNm - noise) {
        findings.doubts.push(
          `${told} is too close to a limit (${allowed}) for a tool of ±${plain(percent)} %: measure it with a better one, or set it to the middle.`,
        );
      }
    });
    const slip = outside.length === torquesNm.length ? unitSlip(torquesNm, minNm, maxNm) : null;
    if (slip !== null) findings.fails.unshift(slip);
  }
  if (missing !== null && missing > 0) {
    findings.fails.push(
      `${missing} of ${expected} ${missing === 1 ? 'is' : 'are'} missing: tighten ${missing === 1 ? 'it' : 'them'} now, before the vehicle leaves, and post all ${expected}.`,
    );
  }
  if (group?.angle) findings.remarks.push(`Then ${group.angle}, which this reading does not show.`);
  const concluded = conclude(
    findings,
    `${torquesNm.length} fasteners within ${limits === null ? 'no known limits' : `${say(limits.minNm, 'N.m', unit)} to ${say(limits.maxNm, 'N.m', unit)}`}.`,
  );
  const judged = limits !== null || concluded.verdict === 'fail';
  return {
    verdict: judged ? concluded.verdict : null,
    reasons: judged
      ? concluded.reasons
      : [
          `No torque is known for ${reading.fastener}: nothing to judge these values by.`,
          ...findings.remarks,
        ],
    computed: { torques: torquesNm.map((torqueNm) => measure('torque', torqueNm)), outside, missing },
    cautions: cautionsFor('fastening'),
    basis,
  };
}

function torquesOf(reading: TorqueSetReading): number[] {
  if (reading.valuesNm != null) {
    return reading.valuesNm.map((torqueNm, index) =>
      requirePositive('values', torqueNm, unitInWords('N.m'), index),
    );
  }
  const setToNm = reading.setToNm ?? null;
  const count = reading.count ?? null;
  if (setToNm === null || count === null) {
    const detail = 'give each torque, or setTo with the count of fasteners tightened to it';
    throw new ImpossibleValue({ field: 'values', detail });
  }
  requirePositive('setTo', setToNm, unitInWords('N.m'));
  // A count beyond any group of fasteners would build a list as long.
  if (!Number.isInteger(count) || count < 0 || count > 1000) {
    const detail = `${count} must be a whole number from 0 to 1000`;
    throw new ImpossibleValue({
      field: 'count',
      value: count,
      limit: { whole: true, min: 0, max: 1000 },
      detail,
    });
  }
  return Array.from({ length: count }, () => setToNm);
}
