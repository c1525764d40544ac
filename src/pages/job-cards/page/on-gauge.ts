import { COMMON_PRACTICE } from '../../../domain/evaluation/common-practice.js';
import { downToDivisionKpa, toldAllowedLoss } from '../../../domain/pressure/gauge-division.js';
import { told } from '../../../domain/quantities/told.js';
import { type Quantity, valueIn } from '../../../domain/quantities/units.js';
import { measureInWords } from '../../../platform/words/quantity-words.js';

const RESOLUTION_KPA = {
  vacuum: COMMON_PRACTICE.vacuumGaugeResolutionKpa,
  pressure: COMMON_PRACTICE.pressureGaugeResolutionKpa,
};

/**
 * A vacuum to pull, rounded down to the marks of a usual gauge. A pressure is not rounded.
 *
 * @param target in the reader's units
 * @param locale of the reader's language
 * @example onGauge('vacuum', { value: 19.19, unit: 'inHg' }, 'en-US') // '19 inHg'
 */
export function onGauge(method: 'vacuum' | 'pressure', target: Quantity, locale: string): string {
  const { unit } = target;
  const kpa = valueIn(target, 'kPa');
  const shownKpa = method === 'vacuum' ? downToDivisionKpa(kpa, RESOLUTION_KPA[method], unit) : kpa;
  return measureInWords(told(method, shownKpa, unit), null, locale);
}

/**
 * The allowed loss, no finer than a gauge can be read.
 *
 * @param loss in the reader's units
 * @param locale of the reader's language
 * @example lossOnGauge('vacuum', { value: 0.835, unit: 'inHg' }, 'en-US') // '0.8 inHg'
 */
export function lossOnGauge(method: 'vacuum' | 'pressure', loss: Quantity, locale: string): string {
  const allowed = toldAllowedLoss(method, valueIn(loss, 'kPa'), RESOLUTION_KPA[method], loss.unit);
  return measureInWords(allowed, null, locale);
}
