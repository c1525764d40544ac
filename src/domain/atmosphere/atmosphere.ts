import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { MEASURES, systemOf } from '../quantities/measures.js';
import { requireFinite } from '../quantities/plausible.js';
import { told, type Told } from '../quantities/told.js';
import { convert, type Unit } from '../quantities/units.js';
import { asTyped, plain, unitInWords } from '../quantities/wording.js';
import { message } from './messages.js';
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
  /** A term for a sentence: "at 1,500 m", or "at 4,921 ft" beside US units. */
  place: Message;
  basis: Message;
}

// The highest sea-level pressure on record is about 32.0 inHg (World Meteorological Organization
// extremes, from memory); below 40 kPa there is no road.
const HIGHEST_BAROMETER_KPA = convert(32.1, 'inHg', 'kPa');
const LOWEST_BAROMETER_KPA = 40;

/**
 * The air pressure at the place of work, from a barometer reading; without one, from the standard
 * atmosphere at the elevation; without either, that at sea level.
 *
 * @param where kPa and m
 * @param unit the pressure unit that was typed
 * @returns kPa absolute
 * @throws ImpossibleValue for a barometer reading that no weather gives, naming the unit probably
 *   meant, and for an elevation beyond the standard.
 * @example atmosphereAt({ elevationM: 1500 }).kpa // 84.55966
 */
export function atmosphereAt(where: Whereabouts, unit: Unit = 'kPa'): Atmosphere {
  const barometerKpa = where.barometerKpa ?? null;
  const elevationM = where.elevationM ?? null;
  if (barometerKpa !== null) return atBarometer(barometerKpa, elevationM, unit);
  const kpa = standardAtmosphereKpa(elevationM ?? 0);
  if (elevationM === null) {
    return {
      kpa,
      source: 'assumed',
      place: message('place-at-sea-level-assumed'),
      basis: message('basis-air-assumed-sea-level'),
    };
  }
  const elevation = elevationTold(elevationM, unit);
  return {
    kpa,
    source: 'elevation',
    place: message('place-at-elevation', { elevation }),
    basis: message('basis-air-at-elevation', { elevation, air: told('vacuum', kpa, unit, 'exact') }),
  };
}

function atBarometer(barometerKpa: number, elevationM: number | null, unit: Unit): Atmosphere {
  requirePlausibleBarometer(barometerKpa, unit);
  const reading = told('vacuum', barometerKpa, unit, 'exact');
  return {
    kpa: barometerKpa,
    source: 'barometer',
    place: message('place-at-barometer', { reading }),
    basis: barometerBasis(barometerKpa, elevationM, unit),
  };
}

/** Weather reports give the pressure reduced to sea level: 17 kPa too much at 1500 m. */
const FAR_FROM_USUAL_KPA = 6;

function barometerBasis(barometerKpa: number, elevationM: number | null, unit: Unit): Message {
  const reading = told('vacuum', barometerKpa, unit, 'exact');
  const usualKpa = elevationM === null ? barometerKpa : standardAtmosphereKpa(elevationM);
  if (elevationM === null || Math.abs(barometerKpa - usualKpa) <= FAR_FROM_USUAL_KPA)
    return message('basis-air-from-barometer', { reading });
  return message('basis-air-from-doubtful-barometer', {
    reading,
    usual: told('vacuum', usualKpa, unit, 'exact'),
    elevation: elevationTold(elevationM, unit),
  });
}

function elevationTold(elevationM: number, beside: Unit): Told {
  return told('elevation', elevationM, MEASURES.elevation[systemOf(beside)]);
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
    detail: message('barometer-impossible', {
      reading: told('vacuum', barometerKpa, unit),
      least: told('vacuum', LOWEST_BAROMETER_KPA, unit, 'up'),
      most: told('vacuum', HIGHEST_BAROMETER_KPA, unit, 'down'),
      asks: meant ? 'other-unit' : 'nothing',
      meant: meant ? `${plain(typed)} ${unitInWords(meant)}` : '',
    }),
  });
}
