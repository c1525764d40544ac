import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { ImpossibleValue } from '../impossible-value.js';
import { measure } from '../quantities/measures.js';
import { requireNotNegative, requirePercent, requirePositive } from '../quantities/plausible.js';
import { told, toldPercent } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

/**
 * Strength after some coolant is drained and replaced, or added into an open system's free space
 * when nothing is drained.
 *
 * Source: conservation of volume, volumes taken as additive.
 *
 * @param volumeL L before adding, after any draining
 * @param strengthPercent volume % of it
 * @param addedL L
 * @param addedStrengthPercent volume % of what is added
 * @returns volume %
 * @throws ImpossibleValue for negative volumes, nothing at all, or a strength outside 0 to 100 %.
 * @example strengthAfterAdding(8, 30, 4, 50) // 36.6667
 */
export function strengthAfterAdding(
  volumeL: number,
  strengthPercent: number,
  addedL: number,
  addedStrengthPercent: number,
): number {
  requireNotNegative('volume', volumeL, 'L');
  requireNotNegative('added', addedL, 'L');
  requirePositive('volumeInAll', volumeL + addedL, 'L');
  requirePercent('strength', strengthPercent);
  requirePercent('addedStrength', addedStrengthPercent);
  return (strengthPercent * volumeL + addedStrengthPercent * addedL) / (volumeL + addedL);
}

/**
 * How much to drain and replace to reach a strength: x = V·(C_t − C_0)/(C_r − C_0).
 *
 * Source: conservation of volume, volumes taken as additive.
 *
 * @param capacityL L
 * @param strengthPercent volume % in the system
 * @param refillStrengthPercent volume % of what is poured in
 * @param targetStrengthPercent volume %
 * @returns L
 * @throws ImpossibleValue with the reason when the refill cannot bring it there.
 * @example drainToReach(10, 30, 100, 65) // 5
 */
export function drainToReach(
  capacityL: number,
  strengthPercent: number,
  refillStrengthPercent: number,
  targetStrengthPercent: number,
): number {
  requirePositive('capacity', capacityL, 'L');
  requirePercent('strength', strengthPercent);
  requirePercent('refillStrength', refillStrengthPercent);
  requirePercent('targetStrength', targetStrengthPercent);
  if (targetStrengthPercent === strengthPercent) return 0;
  const share = (targetStrengthPercent - strengthPercent) / (refillStrengthPercent - strengthPercent);
  if (!Number.isFinite(share) || share < 0 || share > 1) {
    const needed = targetStrengthPercent > strengthPercent ? 'strong' : 'weak';
    throw new ImpossibleValue({
      field: 'targetStrength',
      value: targetStrengthPercent,
      limit: needed === 'strong' ? { max: refillStrengthPercent } : { min: refillStrengthPercent },
      detail: message('refill-cannot-reach', {
        target: toldPercent(targetStrengthPercent),
        strength: toldPercent(strengthPercent),
        refill: toldPercent(refillStrengthPercent),
        needed,
      }),
    });
  }
  return capacityL * share;
}

/** A drain and replacement to be worked out; L and volume %. */
export interface DilutionInput {
  capacityL: number;
  strengthPercent: number;
  refillStrengthPercent: number;
  targetStrengthPercent: number;
  /** The volume unit that was typed, for wording. */
  unit?: Unit;
}

/**
 * What to drain and replace, as an answer with its basis.
 *
 * @param input L and volume %
 * @returns verdict null; computed: `drain`, `resultStrengthPercent`
 * @throws ImpossibleValue with the reason when the target cannot be reached.
 * @example calculateDilution({ capacityL: 16, strengthPercent: 52, refillStrengthPercent: 100, targetStrengthPercent: 70 }).computed.drain // 6 L
 */
export function calculateDilution(input: DilutionInput): Evaluation {
  const { capacityL, strengthPercent, refillStrengthPercent, targetStrengthPercent } = input;
  const drainL = drainToReach(capacityL, strengthPercent, refillStrengthPercent, targetStrengthPercent);
  const result = strengthAfterAdding(capacityL - drainL, strengthPercent, drainL, refillStrengthPercent);
  return {
    verdict: null,
    reasons: [
      message('drain-and-replace', {
        drain: told('volume', drainL, input.unit ?? 'L'),
        capacity: told('volume', capacityL, input.unit ?? 'L'),
        refill: refillStrengthPercent === 0 ? 'water' : 'coolant',
        refillStrength: toldPercent(refillStrengthPercent),
        result: toldPercent(result),
      }),
    ],
    computed: { drain: measure('volume', drainL), resultStrengthPercent: result },
    cautions: cautionsFor('filling'),
    basis: [message('basis-drain-and-replace')],
  };
}
