import { ImpossibleValue } from '../impossible-value.js';
import { inSystem, systemOf } from '../quantities/measures.js';
import { requireFinite } from '../quantities/plausible.js';
import { convert, type Unit } from '../quantities/units.js';
import { asTyped, plain, say, unitInWords } from '../quantities/wording.js';
import { standardAtmosphereKpa } from './standard-atmosphere.js';

/** What is known of the air where the work was done. */
export interface Whereabouts {
  /** Station pressure, not the sea-level value of a weather report; kPa. */
  barometerKpa?: number | null;
  elevationM?: number | null;
}

/** The air pressure that a test is judged by, and where it came from. */
export interface Atmosphere {
  kpa: number;
  source: 'barometer' | 'elevation' | 'assumed';
  /** "at 1500 m", or "at 4921 ft" beside US units, for a sentence. */
  place: string;
  basis: string;
}

// Highest sea-level pressure on record, about 32.0 inHg (World Meteorological Organization
// extremes, from memory); below 40 kPa there is no road.
const HIGHEST_BAROMETER_KPA = convert(32.1, 'inHg', 'kPa');
const LOWEST_BAROMETER_KPA = 40;

/**
 * The air pressure at the place of work: a barometer reading before the standard atmosphere at the
 * elevation, before sea level.
 *
 * @param where kPa and m
 * @param unit the unit in which a refusal is worded
 * @returns kPa absolute
 * @throws ImpossibleValue for a barometer reading that no weather gives, naming the unit probably
 *   meant, and for an elevation beyond the standard.
 * @example atmosphereAt({ elevationM: 1500 }).kpa // 84.55966
 */
export function atmosphereAt(where: Whereabouts, unit: Unit = 'kPa'): Atmosphere {
  const barometerKpa = where.barometerKpa ?? null;
  if (barometerKpa !== null) {
    requirePlausibleBarometer(barometerKpa, unit);
    const shown = say(barometerKpa, 'kPa', unit);
    return {
      kpa: barometerKpa,
      source: 'barometer',
      place: `at a barometer of ${shown}`,
      basis: `air pressure from a barometer reading of ${shown}${stationPressureDoubt(barometerKpa, where.elevationM ?? null, unit)}`,
    };
  }
  const elevationM = where.elevationM ?? null;
  const kpa = standardAtmosphereKpa(elevationM ?? 0);
  if (elevationM === null) {
    return {
      kpa,
      source: 'assumed',
      place: 'at sea level (no elevation is known)',
      basis: 'no barometer reading or elevation is known: sea level assumed, U.S. Standard Atmosphere 1976',
    };
  }
  const place = `at ${elevationInWords(elevationM, unit)}`;
  return {
    kpa,
    source: 'elevation',
    place,
    basis: `U.S. Standard Atmosphere 1976 ${place}: ${airInWords(kpa, unit)}`,
  };
}

/** As a barometer shows it: to a hundredth of an inch of mercury, or a tenth of any other unit. */
function airInWords(kpa: number, typedUnit: Unit): string {
  const { value, unit } = asTyped(kpa, 'kPa', typedUnit);
  return `${plain(Number(value.toFixed(unit === 'inHg' ? 2 : 1)))} ${unitInWords(unit)}`;
}

function elevationInWords(elevationM: number, beside: Unit): string {
  const { value, unit } = inSystem('elevation', elevationM, systemOf(beside));
  return `${plain(Math.round(value))} ${unit}`;
}

function requirePlausibleBarometer(barometerKpa: number, unit: Unit): void {
  requireFinite('barometer', barometerKpa);
  if (barometerKpa >= LOWEST_BAROMETER_KPA && barometerKpa <= HIGHEST_BAROMETER_KPA) return;
  const typed = convert(barometerKpa, 'kPa', unit);
  const meant = (['inHg', 'mbar', 'kPa', 'psi'] as const).find((candidate) => {
    const kpa = convert(typed, candidate, 'kPa');
    return candidate !== unit && kpa >= LOWEST_BAROMETER_KPA && kpa <= HIGHEST_BAROMETER_KPA;
  });
  const value = asTyped(barometerKpa, 'kPa', unit);
  throw new ImpossibleValue({
    field: 'barometer',
    value,
    limit: {
      min: asTyped(LOWEST_BAROMETER_KPA, 'kPa', unit),
      max: asTyped(HIGHEST_BAROMETER_KPA, 'kPa', unit),
    },
    meant: meant ? { value: value.value, unit: meant } : null,
    detail:
      `${say(barometerKpa, 'kPa', unit)} is not an air pressure that a place with a road has, ` +
      `${say(LOWEST_BAROMETER_KPA, 'kPa', unit, 'up')} to ${say(HIGHEST_BAROMETER_KPA, 'kPa', unit, 'down')}` +
      (meant ? `: was it ${plain(typed)} ${unitInWords(meant)}?` : ''),
  });
}

// Weather reports give the pressure reduced to sea level: at 1500 m that is 17 kPa too much, and
// every vacuum would look short.
function stationPressureDoubt(barometerKpa: number, elevationM: number | null, unit: Unit): string {
  if (elevationM === null || Math.abs(barometerKpa - standardAtmosphereKpa(elevationM)) <= 6) return '';
  return ` (far from the ${airInWords(standardAtmosphereKpa(elevationM), unit)} usual at ${elevationInWords(elevationM, unit)}: the station pressure is wanted, not the sea-level one of a weather report)`;
}
