import { STANDARD_SEA_LEVEL_KPA } from '../atmosphere/standard-atmosphere.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { Unit } from '../quantities/units.js';
import { told } from '../quantities/told.js';
import { asTyped } from '../quantities/wording.js';
import { message } from './messages.js';
import { limitTold, meantVacuum, negativeVacuum, questionTold, WEATHER_KPA } from './vacuum-limit.js';

/**
 * Refuses a vacuum asked for by a procedure that no atmosphere can give. Procedures tell the vacuum
 * at sea level, where the standard atmosphere (U.S. Standard Atmosphere 1976) and the weather set
 * the limit.
 *
 * @param field the field's name for a refusal
 * @param targetKpa kPa of vacuum, positive
 * @param unit the unit it was typed in
 * @throws ImpossibleValue for a target that is not above zero, or beyond the atmosphere; then with
 *   the limit and the unit probably meant.
 * @example requireReachableVacuum('target', 172.4, 'psi') // throws: … 25 psi of vacuum exists nowhere … Was it 25 inHg?
 */
export function requireReachableVacuum(field: string, targetKpa: number, unit: Unit): void {
  const target = told('vacuum', targetKpa, unit);
  const value = asTyped(targetKpa, 'kPa', unit);
  if (targetKpa < 0) throw negativeVacuum(field, targetKpa, unit);
  if (targetKpa === 0) {
    const detail = message('vacuum-target-zero', { target });
    throw new ImpossibleValue({ field, value, limit: { above: 0 }, detail });
  }
  if (targetKpa <= STANDARD_SEA_LEVEL_KPA + WEATHER_KPA) return;
  const meant = meantVacuum(targetKpa, STANDARD_SEA_LEVEL_KPA, unit, null);
  throw new ImpossibleValue({
    field,
    value,
    limit: { max: asTyped(STANDARD_SEA_LEVEL_KPA, 'kPa', unit) },
    meant,
    detail: message('vacuum-target-impossible', {
      target,
      ...limitTold(STANDARD_SEA_LEVEL_KPA, unit),
      ...questionTold(meant),
    }),
  });
}
