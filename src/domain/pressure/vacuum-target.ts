import { say } from '../checks/wording.js';
import { convert, type Unit } from '../quantities/units.js';
import { STANDARD_SEA_LEVEL_KPA } from './standard-atmosphere.js';
import { meantUnit, WEATHER_KPA } from './vacuum-limit.js';

/**
 * Refuses a vacuum asked for by a procedure that no atmosphere can give. Procedures tell the vacuum at sea level, where the standard atmosphere
 * (U.S. Standard Atmosphere 1976) and the weather set the limit.
 *
 * @param field the field's name for a refusal
 * @param targetKpa kPa of vacuum, positive
 * @param unit the unit it was typed in
 * @throws RangeError for a target that is not above zero, or beyond the atmosphere; then with the limit and the unit probably meant.
 * @example requireReachableVacuum('target', 172.4, 'psi') // throws: … 25 psi of vacuum exists nowhere … Was it 25 inHg?
 */
export function requireReachableVacuum(field: string, targetKpa: number, unit: Unit): void {
  const shown = say(targetKpa, 'kPa', unit);
  if (targetKpa < 0) {
    const positive = say(-targetKpa, 'kPa', unit);
    throw new RangeError(`${field}: ${shown}: a vacuum is given as a positive number; was it ${positive}?`);
  }
  if (targetKpa === 0) throw new RangeError(`${field}: a vacuum of ${shown} tests nothing`);
  if (targetKpa <= STANDARD_SEA_LEVEL_KPA + WEATHER_KPA) return;
  const inMercury =
    unit === 'inHg' ? '' : ` (${say(convert(STANDARD_SEA_LEVEL_KPA, 'kPa', 'inHg'), 'inHg', 'inHg')})`;
  const limit = `${say(STANDARD_SEA_LEVEL_KPA, 'kPa', unit)}${inMercury} at sea level`;
  const question = meantUnit(targetKpa, STANDARD_SEA_LEVEL_KPA, unit, null).trimEnd();
  throw new RangeError(
    `${field}: ${shown} of vacuum exists nowhere: the atmosphere gives at most ${limit}.${question ? ` ${question}` : ''}`,
  );
}
