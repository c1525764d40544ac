import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings } from '../evaluation/findings.js';
import { message } from './messages.js';

/** The level once the engine is cold again. */
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
  if (check.leakSeen === true) fails.push(message('warm-up-leak'));
  if (check.heatAtVents === false) fails.push(message('warm-up-no-heat'));
  if (check.thermostatOpened === false) fails.push(message('warm-up-thermostat-shut'));
  if (check.temperatureSteady === false) fails.push(message('warm-up-not-steady'));
  if (check.fanCycled === false) fails.push(message('warm-up-no-fan'));
  if (check.levelAfterCooling === 'below-mark') fails.push(message('warm-up-level-sank'));
  if (check.leakSeen === null) doubts.push(message('warm-up-leak-not-looked-for'));
  if (check.thermostatOpened === null) doubts.push(message('warm-up-thermostat-not-seen'));
  if (check.temperatureSteady === null) doubts.push(message('warm-up-temperature-not-watched'));
  if (check.levelAfterCooling === null) doubts.push(message('warm-up-level-not-read'));
  if (check.levelAfterCooling === 'above-mark') findings.remarks.push(message('warm-up-level-above-mark'));
  return {
    ...conclude(findings, message('warm-up-passed')),
    computed: { clearsTrappedAir: warmUpClearsTrappedAir(check) },
    cautions: cautionsFor('running-engine'),
    basis: [message('basis-warm-up')],
  };
}
