import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';

/** Where the level stands once the engine is cold again. */
export type LevelAfterCooling = 'at-mark' | 'below-mark' | 'above-mark';

/** What was seen on the first warm-up after coolant work. */
export interface WarmUpCheckReading {
  kind: 'warm-up-check';
  /** Null where no heater is fitted. */
  heatAtVents: boolean | null;
  /**
   * An electric fan came on and went off, or a viscous fan was heard to engage; null for a fan
   * fixed to its pulley.
   */
  fanCycled: boolean | null;
  thermostatOpened: boolean | null;
  temperatureSteady: boolean | null;
  leakSeen: boolean | null;
  /** Null until the engine was cold again. */
  levelAfterCooling: LevelAfterCooling | null;
}

/**
 * Whether a warm-up shows that no air is trapped: thermostat open, heat at the vents where fitted,
 * temperature steady, level at the mark when cold.
 *
 * @example warmUpClearsTrappedAir({ kind: 'warm-up-check', heatAtVents: null, fanCycled: null, thermostatOpened: true, temperatureSteady: true, leakSeen: false, levelAfterCooling: 'at-mark' }) // true
 */
export function warmUpClearsTrappedAir(check: WarmUpCheckReading): boolean {
  return (
    check.thermostatOpened === true &&
    check.heatAtVents !== false &&
    check.temperatureSteady === true &&
    check.levelAfterCooling === 'at-mark'
  );
}

/**
 * Judges a warm-up check. What is not fitted is not asked for; what was not seen leaves the check
 * open.
 *
 * Source: common practice.
 *
 * @returns computed: `clearsTrappedAir`
 * @example evaluateWarmUpCheck({ kind: 'warm-up-check', heatAtVents: true, fanCycled: null, thermostatOpened: true, temperatureSteady: true, leakSeen: false, levelAfterCooling: 'at-mark' }).verdict // 'pass'
 */
export function evaluateWarmUpCheck(check: WarmUpCheckReading): Evaluation {
  const findings = noFindings();
  const { fails, doubts } = findings;
  if (check.leakSeen === true) fails.push('A leak was seen: find and repair it.');
  if (check.heatAtVents === false)
    fails.push('No heat at the vents: air is trapped, or the coolant is low, or the heater core is blocked.');
  if (check.thermostatOpened === false)
    fails.push('The thermostat did not open: run the engine until it does, or replace it.');
  if (check.temperatureSteady === false)
    fails.push('The temperature did not settle: air is trapped, or the flow is poor.');
  if (check.fanCycled === false)
    fails.push(
      'The fan did not come on. Check fan, relay and sensor; on a viscous fan the clutch, which roars when it engages.',
    );
  if (check.levelAfterCooling === 'below-mark')
    fails.push('The level was below the mark when cold: top up, and look for the loss if it sinks again.');
  if (check.leakSeen === null) doubts.push('Whether it leaks was not looked at: look while it is warm.');
  if (check.thermostatOpened === null)
    doubts.push('The thermostat was not seen to open: run the engine until both hoses are warm.');
  if (check.temperatureSteady === null)
    doubts.push('The temperature was not watched: run the engine until it is steady.');
  if (check.levelAfterCooling === null)
    doubts.push('The level was not read with the engine cold again: read it after cooling.');
  if (check.levelAfterCooling === 'above-mark')
    findings.remarks.push('The level was above the mark when cold: draw it down to the mark.');
  return {
    ...conclude(findings, 'Warmed up and cooled down without a leak, with the level held.'),
    computed: { clearsTrappedAir: warmUpClearsTrappedAir(check) },
    cautions: cautionsFor('running-engine'),
    basis: [
      'warm-up: thermostat open, heat where fitted, temperature steady, level at the mark when cold (common practice)',
    ],
  };
}
