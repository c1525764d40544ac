import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../checks/common-practice.js';
import { conclude, noFindings, type Findings } from '../checks/findings.js';
import { requireFinite, requireNotNegative } from '../checks/plausible.js';
import { plain } from '../checks/wording.js';
import type { Evaluation } from '../evaluation.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { CoolantTechnology } from './coolant.js';

/** How a coolant looks. Its colour is left out: colour is never evidence. */
export type CoolantAppearance = 'clear' | 'cloudy' | 'rusty' | 'oily' | 'particles';

export const COOLANT_APPEARANCES: readonly CoolantAppearance[] = [
  'clear',
  'cloudy',
  'rusty',
  'oily',
  'particles',
];

/** What was measured of the coolant's inhibitors. */
export interface CoolantConditionReading {
  kind: 'coolant-condition';
  pH?: number | null;
  nitriteMgPerL?: number | null;
  scaUnitsPerGallon?: number | null;
  /** mL of 0.1 N acid for 10 mL of coolant (ASTM D1121). */
  reserveAlkalinityMl?: number | null;
  appearance?: CoolantAppearance | null;
}

/** Limits on the spec sheet; null and absent mean none. */
export interface CoolantConditionLimits {
  pHMin?: number | null;
  pHMax?: number | null;
  nitriteMinMgPerL?: number | null;
  nitriteMaxMgPerL?: number | null;
  scaMinUnitsPerGallon?: number | null;
  scaMaxUnitsPerGallon?: number | null;
  reserveAlkalinityMinMl?: number | null;
}

/** What a coolant's condition is judged by; null and absent mean unknown. */
export interface CoolantConditionSurroundings {
  technology?: CoolantTechnology | null;
  /** False for a light vehicle: the heavy-duty defaults are then not used. */
  heavyDuty?: boolean | null;
  limits?: CoolantConditionLimits | null;
  practice?: CommonPractice;
}

/**
 * Judges a coolant's condition against the spec sheet's limits; for an IAT coolant without them pH 8.5 to 10.5 and 1.5 to 3.0 SCA units per US gallon (heavy duty, common practice). Nitrite
 * says nothing about an organic-acid coolant and is not judged there.
 *
 * Source: spec sheet; method of the reserve alkalinity: ASTM D1121.
 *
 * @param reading pH, mg/L, units per US gallon, mL
 * @returns verdict null when nothing could be judged; computed is the values as given
 * @throws ImpossibleValue for a pH outside 0 to 14 or a negative value.
 * @example evaluateCoolantCondition({ kind: 'coolant-condition', pH: 7.9 }, { technology: 'IAT' }).verdict // 'fail'
 */
export function evaluateCoolantCondition(
  reading: CoolantConditionReading,
  around: CoolantConditionSurroundings = {},
): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const limits = around.limits ?? {};
  const technology = around.technology ?? null;
  const pH = reading.pH ?? null;
  if (pH !== null && (!Number.isFinite(pH) || pH < 0 || pH > 14))
    throw new ImpossibleValue({
      field: 'pH',
      value: pH,
      limit: { min: 0, max: 14 },
      detail: `${pH} must be from 0 to 14`,
    });
  for (const field of ['nitriteMgPerL', 'scaUnitsPerGallon', 'reserveAlkalinityMl'] as const) {
    const value = reading[field] ?? null;
    if (value !== null) requireNotNegative(field, requireFinite(field, value), '');
  }
  const findings = noFindings();
  const basis: string[] = [];
  const heavyDutyIat = technology === 'IAT' && around.heavyDuty !== false;
  let judged = 0;
  const judge = (
    name: string,
    unit: string,
    value: number | null,
    own: readonly [number | null | undefined, number | null | undefined],
    fallback: readonly [number, number] | null,
  ) => {
    if (value === null) return;
    const ofSheet = own[0] != null || own[1] != null;
    const range = ofSheet ? own : fallback;
    if (range === null) {
      findings.remarks.push(`${name} ${plain(value)}${unit}: no limit is known.`);
      return;
    }
    judged += 1;
    const [least, most] = range;
    const words = `${least == null ? '' : `at least ${plain(least)}`}${least != null && most != null ? ', ' : ''}${most == null ? '' : `at most ${plain(most)}`}${unit}`;
    basis.push(`${name} ${words} (${ofSheet ? 'spec sheet' : 'common practice, heavy-duty IAT'})`);
    if ((least != null && value < least) || (most != null && value > most))
      findings.fails.push(`${name} ${plain(value)}${unit}: ${words}.`);
  };
  judge(
    'pH',
    '',
    pH,
    [limits.pHMin, limits.pHMax],
    heavyDutyIat ? [practice.heavyDutyPhMin, practice.heavyDutyPhMax] : null,
  );
  judge(
    'SCA',
    ' units per US gallon',
    reading.scaUnitsPerGallon ?? null,
    [limits.scaMinUnitsPerGallon, limits.scaMaxUnitsPerGallon],
    heavyDutyIat ? [practice.heavyDutyScaMinUnitsPerGallon, practice.heavyDutyScaMaxUnitsPerGallon] : null,
  );
  if (technology !== null && technology !== 'IAT') {
    if (reading.nitriteMgPerL != null)
      findings.remarks.push(
        `Nitrite is not judged: it says nothing about an organic-acid coolant (${technology}).`,
      );
  } else {
    judge(
      'Nitrite',
      ' mg/L',
      reading.nitriteMgPerL ?? null,
      [limits.nitriteMinMgPerL, limits.nitriteMaxMgPerL],
      null,
    );
  }
  judge(
    'Reserve alkalinity',
    ' mL',
    reading.reserveAlkalinityMl ?? null,
    [limits.reserveAlkalinityMinMl, null],
    null,
  );
  if (reading.reserveAlkalinityMl != null) basis.push('reserve alkalinity by ASTM D1121');
  if (reading.appearance != null) {
    judged += 1;
    judgeAppearance(reading.appearance, findings);
    basis.push('appearance (common practice); colour is never evidence');
  }
  const concluded = conclude(findings, 'The coolant is within its limits.');
  return {
    verdict: judged === 0 ? null : concluded.verdict,
    reasons:
      judged === 0
        ? ['Nothing here has a limit to judge it by: give limits on the spec sheet.', ...findings.remarks]
        : concluded.reasons,
    computed: {
      pH,
      nitriteMgPerL: reading.nitriteMgPerL ?? null,
      scaUnitsPerGallon: reading.scaUnitsPerGallon ?? null,
      reserveAlkalinityMl: reading.reserveAlkalinityMl ?? null,
    },
    cautions: cautionsFor('coolant-sample'),
    basis,
  };
}

function judgeAppearance(appearance: CoolantAppearance, { fails, doubts }: Findings): void {
  if (appearance === 'oily') fails.push('Oil in the coolant: oil cooler, head gasket.');
  if (appearance === 'rusty') fails.push('Rust in the coolant: flush and replace it.');
  if (appearance === 'particles') fails.push('Particles in the coolant: flush and replace it.');
  if (appearance === 'cloudy') doubts.push('Cloudy: let a sample settle, or have it analysed.');
}
