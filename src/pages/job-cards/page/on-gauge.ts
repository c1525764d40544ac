import { COMMON_PRACTICE } from '../../../domain/evaluation/common-practice.js';
import { say } from '../../../domain/quantities/wording.js';
import { downToDivisionKpa, sayAllowedLoss } from '../../../domain/pressure/gauge-division.js';
import { type Quantity, valueIn } from '../../../domain/quantities/units.js';

const RESOLUTION_KPA = {
  vacuum: COMMON_PRACTICE.vacuumGaugeResolutionKpa,
  pressure: COMMON_PRACTICE.pressureGaugeResolutionKpa,
};

/**
 * A vacuum to pull, as a usual gauge shows it; a pressure as it is. @example onGauge('vacuum', {
 * value: 19.19, unit: 'inHg' }) // '19 inHg'
 */
export function onGauge(method: 'vacuum' | 'pressure', target: Quantity): string {
  const { unit } = target;
  const kpa = valueIn(target, 'kPa');
  return say(method === 'vacuum' ? downToDivisionKpa(kpa, RESOLUTION_KPA[method], unit) : kpa, 'kPa', unit);
}

/**
 * What may be lost, no finer than a needle can be read. @example lossOnGauge('vacuum', { value:
 * 0.835, unit: 'inHg' }) // '0.8 inHg'
 */
export function lossOnGauge(method: 'vacuum' | 'pressure', loss: Quantity): string {
  return sayAllowedLoss(valueIn(loss, 'kPa'), RESOLUTION_KPA[method], loss.unit);
}
