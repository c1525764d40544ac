import type { Atmosphere } from '../atmosphere/atmosphere.js';
import { STANDARD_SEA_LEVEL_KPA } from '../atmosphere/standard-atmosphere.js';
import type { CoolantBase } from '../coolant/coolant.js';
import { saturationPressureKpa } from '../coolant/saturation-line.js';
import { massPercentFromVolume, waterMoleFraction } from '../coolant/strength-conversion.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import { convert, type Quantity, unitsOf, type Unit } from '../quantities/units.js';
import { asTyped, plain, unitInWords } from '../quantities/wording.js';
import { message } from './messages.js';

/**
 * Weather moves station pressure by about this much around the standard value (from memory,
 * meteorology textbooks).
 */
export const WEATHER_KPA = 3;

/**
 * Vapour pressure over coolant: water's share by Raoult's law. Below 0 °C, where the saturation
 * line ends, the value at 0 °C is used: an upper bound, under 0.62 kPa.
 *
 * @param temperatureC °C
 * @param waterShare mole fraction of water, 1 for plain water
 * @returns kPa absolute
 * @throws ImpossibleValue above the saturation line's end.
 * @example vapourPressureKpa(60, 1) // 19.9458
 */
export function vapourPressureKpa(temperatureC: number, waterShare: number): number {
  return waterShare * saturationPressureKpa(Math.max(temperatureC, 0));
}

/**
 * Water's mole fraction in a coolant whose strength is told by volume; plain water, which gives the
 * most vapour, when it is not known.
 *
 * @param strengthPercent volume %, or null
 * @example waterShareOf('ethylene-glycol', 50) // 0.7579
 */
export function waterShareOf(base: CoolantBase | null, strengthPercent: number | null): number {
  if (strengthPercent === null) return 1;
  const known = base ?? 'ethylene-glycol';
  return waterMoleFraction(known, massPercentFromVolume(known, strengthPercent));
}

/**
 * The deepest vacuum that can be pulled: the whole atmosphere on a dry system, less the coolant's
 * vapour pressure on a wet one.
 *
 * @param atmosphereKpa kPa absolute
 * @param vapourKpa kPa absolute, 0 for a dry system
 * @returns kPa of vacuum
 * @example greatestVacuumKpa(101.325, 19.9458) // 81.379 kPa = 24.031 inHg: water at 60 °C at sea level
 */
export function greatestVacuumKpa(atmosphereKpa: number, vapourKpa = 0): number {
  return Math.max(0, atmosphereKpa - vapourKpa);
}

/**
 * The vacuum to reach at a place, from the one that a procedure asks for at sea level: the same
 * share of the atmosphere, which is the trade's rule of 1 inHg less per 1,000 ft.
 *
 * @param targetKpa kPa of vacuum at sea level
 * @param atmosphereKpa kPa absolute at the place
 * @example targetVacuumHereKpa(77.887, 84.55966) // 65.0 kPa: 23 inHg becomes 19.19 inHg at 1500 m
 */
export function targetVacuumHereKpa(targetKpa: number, atmosphereKpa: number): number {
  return (targetKpa * atmosphereKpa) / STANDARD_SEA_LEVEL_KPA;
}

/** The atmosphere that a vacuum reading is judged by, with a note when it had to be raised. */
export interface AcceptedVacuum {
  atmosphereKpa: number;
  note: Message | null;
}

/**
 * Takes a vacuum reading, or refuses one that the air at the place cannot give. Up to 3 kPa beyond
 * the standard atmosphere is weather: it is taken, and the atmosphere is set to what the reading
 * implies.
 *
 * @param field which reading it is, and the field's name for a refusal
 * @param vacuumKpa kPa of vacuum, positive
 * @param vapourKpa kPa absolute of the coolant's vapour, 0 for a dry system
 * @param unit the unit it was typed in
 * @param expectedKpa the vacuum that was to be reached, to guess the unit meant; null when unknown
 * @throws ImpossibleValue naming the limit at the place, the unit probably meant, and that the work
 *   may have been done elsewhere.
 * @example acceptVacuum('start', 151.7, atmosphereAt({ elevationM: 0 }), 0, 'psi', null) // throws: … Was it 22 inHg? …
 */
export function acceptVacuum(
  field: 'start' | 'end' | 'vacuum',
  vacuumKpa: number,
  atmosphere: Atmosphere,
  vapourKpa: number,
  unit: Unit,
  expectedKpa: number | null,
): AcceptedVacuum {
  if (vacuumKpa < 0) {
    throw negativeVacuum(field, vacuumKpa, unit);
  }
  if (vacuumKpa <= atmosphere.kpa) return { atmosphereKpa: atmosphere.kpa, note: null };
  const vacuum = told('vacuum', vacuumKpa, unit);
  const { place } = atmosphere;
  if (atmosphere.source !== 'barometer' && vacuumKpa <= atmosphere.kpa + WEATHER_KPA) {
    return {
      atmosphereKpa: vacuumKpa + vapourKpa,
      note: message('hold-test-vacuum-beyond-standard', {
        reading: field,
        vacuum,
        place,
        limit: told('vacuum', atmosphere.kpa, unit, 'exact'),
      }),
    };
  }
  const meant = meantVacuum(vacuumKpa, atmosphere.kpa, unit, expectedKpa);
  throw new ImpossibleValue({
    field,
    value: asTyped(vacuumKpa, 'kPa', unit),
    limit: { max: asTyped(atmosphere.kpa, 'kPa', unit) },
    meant,
    detail: message('vacuum-beyond-atmosphere', {
      vacuum,
      place,
      ...limitTold(atmosphere.kpa, unit),
      ...questionTold(meant),
      check: atmosphere.source === 'barometer' ? 'barometer' : 'place',
    }),
  });
}

/**
 * The limit of a refusal, for its message: in psi also as a vacuum gauge shows it.
 *
 * @example limitTold(101.325, 'psi').onMercuryGauge // '29.92 inHg'
 */
export function limitTold(kpa: number, unit: Unit) {
  return {
    limit: told('vacuum', kpa, unit, 'exact'),
    beside: unit === 'psi' ? 'inches-of-mercury' : 'nothing',
    onMercuryGauge: `${plain(convert(kpa, 'kPa', 'inHg'))} inHg`,
  } as const;
}

/**
 * What a refusal asks about, for its message.
 *
 * @param meant what was probably meant; null: nothing is asked
 * @example questionTold({ value: 22, unit: 'inHg' }).meant // '22 inHg'
 */
export function questionTold(meant: Quantity | null) {
  if (meant === null) return { asks: 'nothing', meant: '' } as const;
  return { asks: 'other-unit', meant: `${plain(meant.value)} ${unitInWords(meant.unit)}` } as const;
}

/**
 * The refusal of a vacuum that was given with a minus, as a gauge below zero shows it.
 *
 * @param vacuumKpa kPa, below zero
 */
export function negativeVacuum(field: string, vacuumKpa: number, unit: Unit): ImpossibleValue {
  return new ImpossibleValue({
    field,
    value: asTyped(vacuumKpa, 'kPa', unit),
    limit: { min: 0 },
    meant: asTyped(-vacuumKpa, 'kPa', unit),
    detail: message('vacuum-negative', {
      vacuum: told('vacuum', vacuumKpa, unit),
      meant: told('vacuum', -vacuumKpa, unit),
    }),
  });
}

/**
 * What was probably meant by a vacuum that the atmosphere cannot give: the same number in another
 * unit; null when none fits.
 *
 * @param vacuumKpa kPa, as typed in `unit`
 * @param atmosphereKpa kPa absolute
 * @param expectedKpa kPa of vacuum that was to be reached; null: 80 % of the atmosphere
 * @example meantVacuum(172.4, 101.325, 'psi', null) // { value: 25, unit: 'inHg' }
 */
export function meantVacuum(
  vacuumKpa: number,
  atmosphereKpa: number,
  unit: Unit,
  expectedKpa: number | null,
): Quantity | null {
  const typed = convert(vacuumKpa, 'kPa', unit);
  const expected = expectedKpa ?? 0.8 * atmosphereKpa;
  const distance = (candidate: Unit) => Math.abs(Math.log(convert(typed, candidate, 'kPa') / expected));
  const fitting = unitsOf('pressure').filter((candidate) => {
    const kpa = convert(typed, candidate, 'kPa');
    return candidate !== unit && kpa >= 0.15 * atmosphereKpa && kpa <= atmosphereKpa + WEATHER_KPA;
  });
  const [best] = fitting.sort((a, b) => distance(a) - distance(b));
  return best ? { value: asTyped(vacuumKpa, 'kPa', unit).value, unit: best } : null;
}
