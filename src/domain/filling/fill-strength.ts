import type { Findings } from '../evaluation/findings.js';
import { toldPercent } from '../quantities/told.js';
import { WEAKEST_PERCENT } from '../strength/strength-limits.js';
import { strengthAfterAdding } from './dilution.js';
import { message } from './messages.js';

/**
 * When the same job read the freeze point: after this was poured in, or only before, which says
 * nothing about the mixture; null if it did not.
 */
export type FreezePointRead = 'after' | 'before' | null;

/** What goes into the strength of a filled system; L and volume %. */
export interface FillStrength {
  capacityL: number | null;
  /** What was empty when it was filled: the rest stayed. Null where it is not known. */
  emptyL: number | null;
  drainableL: number | null;
  addedL: number;
  strengthPercent: number | null;
  /** Of what stayed: 0 after a flush with water. */
  stayedStrengthPercent: number | null;
}

/**
 * The strength once what was filled in has mixed with what stayed in block and heater, capacity
 * less what came out. Ready-mixed coolant on the water that a flush left ends weak.
 *
 * Source: conservation of volume, volumes taken as additive.
 *
 * @returns volume %; null where something is not known
 * @example strengthOnceMixed({ capacityL: 14, emptyL: 9.5, drainableL: 9.5, addedL: 9.5, strengthPercent: 50, stayedStrengthPercent: 0 }) // 33.93
 */
export function strengthOnceMixed(fill: FillStrength): number | null {
  const { capacityL, strengthPercent, stayedStrengthPercent, addedL } = fill;
  if (strengthPercent === null || capacityL === null || stayedStrengthPercent === null) return null;
  if (addedL > capacityL || addedL === 0) return null;
  const stayedL = Math.max(0, capacityL - (fill.emptyL ?? fill.drainableL ?? addedL));
  return strengthAfterAdding(stayedL, stayedStrengthPercent, addedL, strengthPercent);
}

/**
 * Tells the strength to expect. One below the least is a doubt, and the freeze point is to be read,
 * unless the same job reads it afterwards.
 *
 * @param expectedPercent volume %, by `strengthOnceMixed`
 * @returns whether the freeze point is still to be read
 */
export function tellExpectedStrength(
  expectedPercent: number | null,
  freezePointRead: FreezePointRead,
  findings: Findings,
): boolean {
  if (expectedPercent === null) return false;
  const rounding = expectedPercent < WEAKEST_PERCENT ? 'down' : 'nearest';
  const strength = toldPercent(expectedPercent, rounding);
  if (expectedPercent >= WEAKEST_PERCENT || freezePointRead === 'after') {
    findings.remarks.push(message('fill-strength', { strength }));
    return false;
  }
  findings.doubts.push(message('fill-strength-too-weak', { strength }));
  if (freezePointRead === 'before') findings.doubts.push(message('freeze-point-read-too-soon'));
  return true;
}
