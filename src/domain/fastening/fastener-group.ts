import type { CommonPractice } from '../evaluation/common-practice.js';
import { ImpossibleValue } from '../impossible-value.js';
import { requirePositive } from '../quantities/plausible.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

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
  basis: Message[];
}

/**
 * The limits of a group: its own least and most, else its torque ± its tolerance, else ± 10 %
 * (common practice).
 *
 * @param group N·m and %
 * @param unit the unit that was typed
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
      const detail = message('torque-min-above-max', {
        min: told('torque', minNm, unit),
        max: told('torque', maxNm, unit),
      });
      throw new ImpossibleValue({ field: 'min', value: minNm, limit: { max: maxNm }, detail });
    }
    return { nominalNm, minNm, maxNm, basis: [message('basis-torque-limits-of-sheet')] };
  }
  if (nominalNm === null) return null;
  requirePositive('torque', nominalNm, 'N·m');
  const percent = group.tolerancePercent ?? practice.torqueTolerancePercent;
  if (!Number.isFinite(percent) || percent < 0 || percent >= 100) {
    const detail = message('torque-tolerance-outside', { percent: String(percent) });
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
      message('basis-torque-tolerance', {
        torque: told('torque', nominalNm, unit),
        percent,
        source: group.tolerancePercent == null ? 'usual' : 'sheet',
      }),
    ],
  };
}
