import type { CoolantTechnology } from '../coolant/coolant.js';
import type { CommonPractice } from '../evaluation/common-practice.js';

/** Limits on the spec sheet; null and absent mean none. */
export interface CoolantConditionLimits {
  pHMin?: number | null;
  pHMax?: number | null;
  nitriteMinMgPerL?: number | null;
  nitriteMaxMgPerL?: number | null;
  molybdateMinMgPerL?: number | null;
  molybdateMaxMgPerL?: number | null;
  scaMinUnitsPerGallon?: number | null;
  scaMaxUnitsPerGallon?: number | null;
  reserveAlkalinityMinMl?: number | null;
  /** Of a low-conductivity coolant, at 25 °C. */
  conductivityMaxUsPerCm?: number | null;
}

/** The measured values, from any part of the reading; null: not measured. */
export interface MeasuredCondition {
  pH: number | null;
  nitriteMgPerL: number | null;
  molybdateMgPerL: number | null;
  scaUnitsPerGallon: number | null;
  reserveAlkalinityMl: number | null;
}

/** What the limits of a coolant depend on. */
export interface CoolantInUse {
  technology: CoolantTechnology | null;
  /** False for a light vehicle. */
  heavyDuty: boolean | null;
  /** Cylinder liners with coolant around them: nitrite keeps them from cavitating. */
  wetLiners: boolean | null;
  limits: CoolantConditionLimits;
}

/** Where a range comes from. */
export type RangeSource = 'sheet' | 'heavyDuty' | 'noat' | 'wetLiners';

/** A range, and where it comes from; null at an end is open. */
export interface Range {
  least: number | null;
  most: number | null;
  source: RangeSource;
}

/** What is judged by a range. */
export type Judged = 'ph' | 'nitrite' | 'molybdate' | 'sca' | 'reserve-alkalinity';

/**
 * The range for one value of a coolant: the spec sheet's, else the default; null where there is
 * none.
 *
 * Source of the defaults: pH and SCA of heavy-duty IAT, common practice. Nitrite in service: NOAT
 * at least 300 mg/L, conventional coolant around wet liners at least 800 mg/L, both from memory
 * of heavy-duty engine makers' advice.
 *
 * @returns pH, mg/L, SCA units per US gallon, or mL
 * @example rangeOf('nitrite', { technology: 'NOAT', heavyDuty: null, wetLiners: null, limits: {} }, COMMON_PRACTICE)?.least // 300
 */
export function rangeOf(judged: Judged, coolant: CoolantInUse, practice: CommonPractice): Range | null {
  const [least, most] = ofSheet(judged, coolant.limits);
  if (least !== null || most !== null) return { least, most, source: 'sheet' };
  const { technology, heavyDuty } = coolant;
  const isHeavyDutyIat = technology === 'IAT' && heavyDuty !== false;
  if (judged === 'ph' && isHeavyDutyIat)
    return { least: practice.heavyDutyPhMin, most: practice.heavyDutyPhMax, source: 'heavyDuty' };
  if (judged === 'sca' && isHeavyDutyIat)
    return {
      least: practice.heavyDutyScaMinUnitsPerGallon,
      most: practice.heavyDutyScaMaxUnitsPerGallon,
      source: 'heavyDuty',
    };
  if (judged !== 'nitrite') return null;
  if (technology === 'NOAT') return { least: practice.nitriteMinNoatMgPerL, most: null, source: 'noat' };
  return technology === 'IAT' && hasWetLiners(coolant) === true
    ? { least: practice.nitriteMinWetLinersMgPerL, most: null, source: 'wetLiners' }
    : null;
}

/**
 * Heavy-duty engines are taken to have wet liners unless the sheet says otherwise; null where
 * nothing is known.
 */
export function hasWetLiners({ wetLiners, heavyDuty }: CoolantInUse): boolean | null {
  return wetLiners ?? heavyDuty;
}

function ofSheet(judged: Judged, limits: CoolantConditionLimits): [number | null, number | null] {
  switch (judged) {
    case 'ph':
      return [limits.pHMin ?? null, limits.pHMax ?? null];
    case 'nitrite':
      return [limits.nitriteMinMgPerL ?? null, limits.nitriteMaxMgPerL ?? null];
    case 'molybdate':
      return [limits.molybdateMinMgPerL ?? null, limits.molybdateMaxMgPerL ?? null];
    case 'sca':
      return [limits.scaMinUnitsPerGallon ?? null, limits.scaMaxUnitsPerGallon ?? null];
    case 'reserve-alkalinity':
      return [limits.reserveAlkalinityMinMl ?? null, null];
  }
}

/**
 * Whether molybdate makes up for nitrite below its default: what protects liners as new coolant
 * does so in service.
 *
 * Source: ASTM D6210, for new coolant: nitrite, or nitrite with molybdate of at least 780 mg/kg,
 * each at least 300 (from memory); 1 mg/kg is taken as 1 mg/L.
 *
 * @example molybdateMakesUp(400, 450, COMMON_PRACTICE) // true
 */
export function molybdateMakesUp(
  nitriteMgPerL: number,
  molybdateMgPerL: number | null,
  practice: CommonPractice,
): boolean {
  const each = practice.nitriteWithMolybdateEachMinMgPerL;
  return (
    molybdateMgPerL !== null &&
    nitriteMgPerL >= each &&
    molybdateMgPerL >= each &&
    nitriteMgPerL + molybdateMgPerL >= practice.nitriteWithMolybdateMinMgPerL
  );
}
