import { MIXING_WATER } from '../../coolant/water.js';
import { airLeftFraction } from '../../pressure/vacuum-fill.js';
import { inWords } from '../work/words.js';
import type { StepContext } from './step-context.js';

/**
 * How a system is filled, for the card's step.
 *
 * Source: common practice; what is to pour comes from `coolantForJob`.
 *
 * @example fillText(context of a flush of 14 L at 50 %) // 'Fill: 7 L of neat concentrate first, then up to 2.5 L of demineralised or distilled water'
 */
export function fillText({ work, coolant, units }: StepContext): string {
  if (coolant?.bring == null) return "Fill with the coolant named by the vehicle maker's information";
  const { bring, premix } = coolant;
  const concentrate = inWords('volume', bring.concentrate.value, units);
  const water = inWords('volume', bring.water.value, units);
  if (work.flushes)
    return `Fill: ${concentrate} of neat concentrate first, then up to ${water} of ${MIXING_WATER}`;
  const mixed = premix === null ? null : inWords('volume', premix.volume.value, units);
  if (work.opens === 'some')
    return `Fill up to the mark with what was caught clean${mixed === null ? '' : `, else with ${mixed} ready mixed at ${premix?.strengthPercent} %`}`;
  const ready = mixed === null ? '' : ` (or ${mixed} ready mixed at ${premix?.strengthPercent} %)`;
  return `Fill: ${concentrate} of concentrate mixed with ${water} of ${MIXING_WATER}${ready}`;
}

/**
 * How much air a vacuum leaves in a system that is filled by it, with its unit; null where it is
 * not filled by vacuum, or where that is not known.
 *
 * Source: Boyle's law (`airLeftFraction`).
 */
export function vacuumLeaves({ holdTest, coolant, atmosphereKpa, units }: StepContext): string | null {
  const target = holdTest?.method === 'vacuum' ? holdTest.target : null;
  const out = coolant?.comesOut ?? null;
  if (target === null || out === null) return null;
  return inWords('volume', out.value * airLeftFraction(target.value, atmosphereKpa), units);
}
