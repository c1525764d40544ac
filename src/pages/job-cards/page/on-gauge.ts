import { COMMON_PRACTICE } from '../../../domain/evaluation/common-practice.js';
import { downToDivisionKpa, toldAllowedLoss } from '../../../domain/pressure/gauge-division.js';
import { told, type Told } from '../../../domain/quantities/told.js';
import { type Quantity, valueIn } from '../../../domain/quantities/units.js';
import { LANGUAGE_FILES } from '../../../platform/words/languages.js';
import { measureInWords } from '../../../platform/words/quantity-words.js';

const RESOLUTION_KPA = {
  vacuum: COMMON_PRACTICE.vacuumGaugeResolutionKpa,
  pressure: COMMON_PRACTICE.pressureGaugeResolutionKpa,
};

/**
 * A vacuum to pull, rounded down to the marks of a usual gauge. A pressure is not rounded.
 *
 * @param target in the reader's units
 * @example onGauge('vacuum', { value: 19.19, unit: 'inHg' }) // '19 inHg'
 */
export function onGauge(method: 'vacuum' | 'pressure', target: Quantity): string {
  const { unit } = target;
  const kpa = valueIn(target, 'kPa');
  const shownKpa = method === 'vacuum' ? downToDivisionKpa(kpa, RESOLUTION_KPA[method], unit) : kpa;
  return inWords(told(method, shownKpa, unit));
}

/**
 * The allowed loss, no finer than a gauge can be read.
 *
 * @param loss in the reader's units
 * @example lossOnGauge('vacuum', { value: 0.835, unit: 'inHg' }) // '0.8 inHg'
 */
export function lossOnGauge(method: 'vacuum' | 'pressure', loss: Quantity): string {
  return inWords(toldAllowedLoss(method, valueIn(loss, 'kPa'), RESOLUTION_KPA[method], loss.unit));
}

/** All languages of the service write the figures of a gauge the same way. */
function inWords(measure: Told): string {
  return measureInWords(measure, null, LANGUAGE_FILES.en.locale);
}
