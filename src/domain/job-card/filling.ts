import { airLeftFraction } from '../pressure/vacuum-fill.js';
import type { StepContext } from './step-context.js';
import { inWords } from './words.js';

/**
 * How a system is filled, for the card's step.
 *
 * Source: common practice; what is to pour comes from `coolantForJob`.
 *
 * @example fillText(context of a flush of 14 L at 50 %) // 'Fill: 7 L of neat concentrate first, then up to 2.5 L of water'
 */
export function fillText({ work, coolant, units }: StepContext): string {
  if (coolant?.bring == null) return "Fill with the coolant named by the vehicle maker's information";
  const { bring, premix } = coolant;
  const concentrate = inWords('volume', bring.concentrate.value, units);
  const water = inWords('volume', bring.water.value, units);
  if (work.flushes) return `Fill: ${concentrate} of neat concentrate first, then up to ${water} of water`;
  const mixed = premix === null ? null : inWords('volume', premix.volume.value, units);
  if (work.opens === 'some')
    return `Fill up to the mark with what was caught clean${mixed === null ? '' : `, else with ${mixed} ready mixed at ${premix?.strengthPercent} %`}`;
  const ready = mixed === null ? '' : ` (or ${mixed} ready mixed at ${premix?.strengthPercent} %)`;
  return `Fill: ${concentrate} of concentrate mixed with ${water} of water${ready}`;
}

/** How a filled system is warmed up, for the card's step. Source: common practice. */
export function warmUpText(): string {
  return 'Warm up: thermostat opens, heat at the vents, fan comes on where fitted, temperature steady, no leak; then read the strength';
}

/**
 * How the level is brought to the mark at the end, for the card's step.
 *
 * Source: expected air after a vacuum fill by Boyle's law (`airLeftFraction`).
 */
export function topUpText({ work, holdTest, coolant, atmosphereKpa, units }: StepContext): string {
  if (!work.opensCircuit) return 'Top up to the mark with the same coolant, and note how much';
  const target = holdTest?.method === 'vacuum' ? holdTest.target : null;
  const out = coolant?.comesOut ?? null;
  if (target === null || out === null) return 'Cooled down: top up to the mark, and note how much';
  const airL = out.value * airLeftFraction(target.value, atmosphereKpa);
  return `Cooled down: top up to the mark, up to ${inWords('volume', airL, units)} after a vacuum fill`;
}
