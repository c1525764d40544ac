import type { CommonPractice } from '../evaluation/common-practice.js';
import { ImpossibleValue } from '../impossible-value.js';
import { requirePositive } from '../quantities/plausible.js';
import type { Unit } from '../quantities/units.js';
import { plain, say } from '../quantities/wording.js';

/**
 * Fasteners that are tightened alike, from the spec sheet; N·m. Either a torque with its tolerance,
 * or both limits.
 */
export interface FastenerGroup {
  name: string;
  count?: number | null;
  torqueNm?: number | null;
  tolerancePercent?: number | null;
  minNm?: number | null;
  maxNm?: number | null;
  /** The turn that follows the torque, in words: it cannot be read from a torque. */
  angle?: string | null;
}

/** What each torque of a group must lie between; N·m. */
export interface TorqueLimits {
  nominalNm: number | null;
  minNm: number;
  maxNm: number;
  basis: string[];
}

/**
 * The limits of a group: its own least and most, else its torque ± its tolerance, else ± 10 %
 * (common practice).
 *
 * @param group N·m and %
 * @param unit the unit for wording
 * @returns null when neither a torque nor both limits are known
 * @throws ImpossibleValue for a torque that is not above zero, or limits the wrong way round.
 * @example torqueLimits({ name: 'pump', torqueNm: 11 }, COMMON_PRACTICE, 'N.m') // 9.9 to 12.1
 */
export function torqueLimits(
  group: FastenerGroup,
  practice: CommonPractice,
  unit: Unit,
): TorqueLimits | null {
  const nominalNm = group.torqueNm ?? null;
  const minNm = group.minNm ?? null;
  const maxNm = group.maxNm ?? null;
  if (minNm !== null && maxNm !== null) {
    requirePositive('min', minNm, 'N·m');
    if (maxNm < minNm) {
      const detail = `${plain(minNm)} N·m is above max, ${plain(maxNm)} N·m`;
      throw new ImpossibleValue({ field: 'min', value: minNm, limit: { max: maxNm }, detail });
    }
    return { nominalNm, minNm, maxNm, basis: ['least and most torque from the spec sheet'] };
  }
  if (nominalNm === null) return null;
  requirePositive('torque', nominalNm, 'N·m');
  const percent = group.tolerancePercent ?? practice.torqueTolerancePercent;
  if (!Number.isFinite(percent) || percent < 0 || percent >= 100) {
    const detail = `${percent} must be from 0 to below 100`;
    throw new ImpossibleValue({
      field: 'tolerancePercent',
      value: percent,
      limit: { min: 0, below: 100 },
      detail,
    });
  }
  return {
    nominalNm,
    minNm: minNm ?? nominalNm * (1 - percent / 100),
    maxNm: maxNm ?? nominalNm * (1 + percent / 100),
    basis: [
      `${say(nominalNm, 'N.m', unit)} ±${plain(percent)} % (${group.tolerancePercent == null ? 'common practice' : 'spec sheet'})`,
    ],
  };
}
