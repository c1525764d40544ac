import type { Verdict } from '../../evaluation/evaluation.js';
import type { CardWork } from '../work/card-work.js';
import type { DosedForJob } from './additive-for-job.js';

/**
 * So near the target nothing is drained for the strength's sake, volume %; common practice, no
 * published source.
 */
const NEAR_TARGET_PERCENT = 3;

/** What is known of the strength, volume %. */
interface KnownStrength {
  strengthPercent: number | null;
  targetStrengthPercent: number;
  freezePointVerdict: Verdict | null;
}

/**
 * The work with the additive that goes in. Where the coolant is to be adjusted, lacks additive,
 * and its strength is right or was never found wrong, nothing is drained for the strength.
 *
 * Source: common practice, no published source.
 *
 * @example withDose(workOf(coolant:adjust), lacking, { strengthPercent: 50, targetStrengthPercent: 50, freezePointVerdict: 'pass' }).adjustsStrength // false
 */
export function withDose(work: CardWork, dosed: DosedForJob | null, strength: KnownStrength): CardWork {
  if (!dosed?.isLacking) return work;
  return { ...work, doses: true, adjustsStrength: work.adjustsStrength && isOff(strength) };
}

function isOff({ strengthPercent, targetStrengthPercent, freezePointVerdict }: KnownStrength): boolean {
  if (freezePointVerdict !== null) return freezePointVerdict !== 'pass';
  return strengthPercent !== null && Math.abs(strengthPercent - targetStrengthPercent) > NEAR_TARGET_PERCENT;
}
