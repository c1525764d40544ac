import { ImpossibleValue } from '../impossible-value.js';
import { requireFinite } from '../quantities/plausible.js';
import { toldToTenth } from '../quantities/told.js';
import { STANDARD_GRAVITY } from '../quantities/units.js';
import { message } from './messages.js';

const SEA_LEVEL_KPA = 101.325;
const SEA_LEVEL_K = 288.15;
const LAPSE_K_PER_M = 0.0065;
const EARTH_RADIUS_M = 6_356_766;
const AIR_KG_PER_MOL = 0.0289644;
// The 1976 standard's own gas constant; today's value would move the pressure by some pascals.
const GAS_CONSTANT_1976 = 8.31432;
const EXPONENT = (STANDARD_GRAVITY * AIR_KG_PER_MOL) / (GAS_CONSTANT_1976 * LAPSE_K_PER_M);

const LOWEST_M = -5000;
/** Geometric, of the layer's top at 11 km geopotential height. */
const HIGHEST_M = 11_019;

/** Pressure of one standard atmosphere, kPa. */
export const STANDARD_SEA_LEVEL_KPA = SEA_LEVEL_KPA;

/**
 * Air pressure to be expected at an elevation, when no barometer was read.
 *
 * Source: U.S. Standard Atmosphere 1976, troposphere layer. The elevation is geometric, as maps
 * and depots give it; taking it for the geopotential height of the formula would be 6 Pa off at
 * 2000 m.
 *
 * @param elevationM m above sea level
 * @returns kPa absolute
 * @throws ImpossibleValue outside -5000 m to the layer's top at 11 km geopotential height.
 * @example standardAtmosphereKpa(1500) // 84.55966
 */
export function standardAtmosphereKpa(elevationM: number): number {
  requireFinite('elevation', elevationM);
  const geopotentialM = (EARTH_RADIUS_M * elevationM) / (EARTH_RADIUS_M + elevationM);
  if (elevationM < LOWEST_M || geopotentialM > 11_000) {
    throw new ImpossibleValue({
      field: 'elevation',
      value: { value: elevationM, unit: 'm' },
      limit: { min: { value: LOWEST_M, unit: 'm' }, max: { value: HIGHEST_M, unit: 'm' } },
      meant: elevationM > 0 ? { value: elevationM, unit: 'ft' } : null,
      detail: message('elevation-beyond-atmosphere', {
        elevation: toldToTenth('elevation', elevationM),
        least: toldToTenth('elevation', LOWEST_M),
        most: toldToTenth('elevation', HIGHEST_M),
        asks: elevationM > 0 ? 'feet' : 'nothing',
        typed: elevationM,
      }),
    });
  }
  return SEA_LEVEL_KPA * (1 - (LAPSE_K_PER_M * geopotentialM) / SEA_LEVEL_K) ** EXPONENT;
}
