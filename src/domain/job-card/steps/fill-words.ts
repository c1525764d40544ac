import type { Message } from '../../message.js';
import { airLeftFraction } from '../../pressure/vacuum-fill.js';
import { measure, type Measure } from '../../quantities/measures.js';
import { message } from '../messages.js';
import type { StepContext } from './step-context.js';

/**
 * How a system is filled, for the card's step.
 *
 * Source: common practice; what is to pour comes from `coolantForJob`.
 *
 * @example fillText(context of a flush of 14 L at 50 %) // in words: 'Fill: 7 L of neat concentrate first, then up to 2.5 L of demineralised or distilled water'
 */
export function fillText({ work, coolant }: StepContext): Message {
  if (coolant?.bring == null) return message('step-fill-by-maker');
  const { concentrate, water } = coolant.bring;
  const ready = coolant.premix && { premix: coolant.premix.volume, percent: coolant.premix.strengthPercent };
  if (work.flushes) return message('step-fill-flushed', { concentrate, water });
  if (work.opens === 'some')
    return ready === null ? message('step-fill-caught') : message('step-fill-caught-or-premix', ready);
  return ready === null
    ? message('step-fill-mixed', { concentrate, water })
    : message('step-fill-mixed-or-premix', { concentrate, water, ...ready });
}

/**
 * How much air a vacuum leaves in a system that is filled by it; null where it is not filled by
 * vacuum, or where that is not known.
 *
 * Source: Boyle's law (`airLeftFraction`).
 */
export function vacuumLeaves({ holdTest, coolant, atmosphereKpa }: StepContext): Measure | null {
  const target = holdTest?.method === 'vacuum' ? holdTest.target : null;
  const out = coolant?.comesOut ?? null;
  if (target === null || out === null) return null;
  return measure('volume', out.value * airLeftFraction(target.value, atmosphereKpa));
}
