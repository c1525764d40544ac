import { cautionsFor } from '../cautions/cautions.js';
import type { TestStrip } from '../coolant-condition/test-strip.js';
import { baseInWords, type CoolantBase } from '../coolant/coolant.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings, type Findings } from '../evaluation/findings.js';
import { measure } from '../quantities/measures.js';
import { requireFinite } from '../quantities/plausible.js';
import { dimensionOf, type Unit } from '../quantities/units.js';
import { say, sayChange, sayPercent } from '../quantities/wording.js';
import {
  FREEZE_POINT_UNITS,
  readStrength,
  type FreezePointMethod,
  type StrengthReading,
} from './freeze-point-value.js';
import {
  judgeProtection,
  judgeStrength,
  STRONGEST_PERCENT,
  type StrengthInQuestion,
  WEAKEST_PERCENT,
} from './strength-limits.js';

/** Strength of the coolant in the system, as read by an instrument. */
export interface FreezePointReading {
  kind: 'freeze-point';
  /** What it was read with, where it was a strip. */
  strip?: TestStrip | null;
  /** The coolant's own base; the spec sheet's when absent. */
  base?: CoolantBase | null;
  /** The glycol that the instrument's scale is printed for; the coolant's when absent. */
  scale?: CoolantBase | null;
  method: FreezePointMethod;
  /** °C for refractometer, hydrometer and test-strip; nD, Brix or volume % for the others. */
  value: number;
  /** The unit that was typed, for wording. */
  unit: Unit;
}

/** What a strength is judged by; null and absent mean unknown. */
export interface FreezePointLimits {
  /** The base on the spec sheet. */
  base?: CoolantBase | null;
  /** Everything poured in since the system was last emptied. */
  basesInSystem?: readonly CoolantBase[];
  designLowTemperatureC?: number | null;
  strengthMaxPercent?: number | null;
  practice?: CommonPractice;
}

const REFRACTOMETER_UNCERTAINTY_C = 1;

/**
 * Expanded uncertainty (k = 2) of a strength reading, as a temperature.
 *
 * Sources: ASTM D3321 (scope) for a refractometer, ±1 °C, and so for an index, Brix or percentage
 * read on one; hydrometer and strip ±5 °C (common practice).
 *
 * @returns °C
 * @example freezePointUncertaintyC('refractometer') // 1
 */
export function freezePointUncertaintyC(
  method: FreezePointMethod,
  practice: CommonPractice = COMMON_PRACTICE,
): number {
  return method === 'hydrometer' || method === 'test-strip'
    ? practice.stripUncertaintyC
    : REFRACTOMETER_UNCERTAINTY_C;
}

/**
 * Judges a coolant's strength: protects to the lowest temperature with a margin, is between 40
 * volume % and the allowed most, and was read on a scale for its own
 * base. Uncertainty is counted on both sides.
 *
 * Sources: ASHRAE Handbook Fundamentals 2001 (tables); ASTM D3321 (refractometer); ASTM D6210 (40
 * to 60 volume %); margin of 3 °C is common practice.
 *
 * @param reading °C, nD, Brix or volume %
 * @param limits °C and volume %; everything may be unknown
 * @returns verdict null when the lowest temperature is unknown and nothing is wrong; computed:
 * `freezePoint`, `strengthVolumePercent`, `strengthMassPercent`
 * (null where not known), `table`, `beyondTable`
 * @throws ImpossibleValue for a value that no coolant has.
 * @example evaluateFreezePoint({ kind: 'freeze-point', base: 'ethylene-glycol', method: 'refractometer', value: -36, unit: 'C' }, { designLowTemperatureC: -30 }).verdict // 'pass'
 */
export function evaluateFreezePoint(reading: FreezePointReading, limits: FreezePointLimits = {}): Evaluation {
  const practice = limits.practice ?? COMMON_PRACTICE;
  const designLowC = limits.designLowTemperatureC ?? null;
  if (designLowC !== null) requireFinite('designLowTemperature', designLowC);
  const findings = noFindings();
  const base = reading.base ?? limits.base ?? 'ethylene-glycol';
  const uncertaintyC = freezePointUncertaintyC(reading.method, practice);
  const strength = readStrength(base, reading.method, reading.value);
  const trustworthy = doubtTheScale(reading, base, limits, findings);
  if (strength.mixture === null) {
    findings.doubts.push(
      `No table turns ${reading.method === 'brix' ? 'Brix' : 'a refractive index'} into the strength of ${baseInWords(base)}: read its freeze point on a scale for ${baseInWords(base)}.`,
    );
  } else {
    const question = questionOf(reading, { base, strength, uncertaintyC, trustworthy });
    doubtTheZero(question, findings);
    judgeProtection(question, designLowC, practice, findings);
    judgeStrength(question, limits.strengthMaxPercent ?? STRONGEST_PERCENT, findings);
  }
  const shown = `${describe(reading, strength)}.`;
  const concluded = conclude(findings, shown);
  const isPass = concluded.verdict === 'pass';
  return {
    verdict: isPass && designLowC === null ? null : concluded.verdict,
    reasons: isPass ? concluded.reasons : [...concluded.reasons, shown],
    computed: computedOf(strength, trustworthy),
    cautions: cautionsFor('coolant-sample'),
    basis: basisOf(reading, limits, strength, practice),
  };
}

function questionOf(
  reading: FreezePointReading,
  known: Pick<StrengthInQuestion, 'base' | 'strength' | 'uncertaintyC' | 'trustworthy'>,
): StrengthInQuestion {
  return {
    ...known,
    shownC: dimensionOf(FREEZE_POINT_UNITS[reading.method]) === 'temperature' ? reading.value : null,
    unit: degreesOf(reading),
    flatters: reading.scale === 'ethylene-glycol' && known.base === 'propylene-glycol',
  };
}

function doubtTheZero({ shownC, unit }: StrengthInQuestion, { remarks }: Findings): void {
  if (shownC === null || shownC <= 0) return;
  remarks.push(
    `The instrument showed ${say(shownC, 'C', unit)}, warmer than water freezes: taken as plain water; set it to zero with water.`,
  );
}

function computedOf(
  { mixture, strength, ...read }: StrengthReading,
  trustworthy: boolean,
): Evaluation['computed'] {
  // Where only "stronger than the table's end" is known, that end.
  const told = trustworthy ? (strength ?? mixture) : null;
  return {
    freezePoint:
      read.freezePointC === null || !trustworthy ? null : measure('temperature', read.freezePointC),
    strengthVolumePercent: told?.volumePercent ?? null,
    strengthMassPercent: told?.massPercent ?? null,
    table: read.tables.at(-1) ?? null,
    beyondTable: read.beyondTable,
  };
}

function basisOf(
  reading: FreezePointReading,
  limits: FreezePointLimits,
  { tables }: StrengthReading,
  practice: CommonPractice,
): string[] {
  const degrees = degreesOf(reading);
  const uncertaintyC = freezePointUncertaintyC(reading.method, practice);
  const takenBase =
    limits.base == null ? 'taken as ethylene glycol' : `${baseInWords(limits.base)} by the spec sheet`;
  return [
    ...(reading.base == null ? [`base not given: ${takenBase}`] : []),
    ...tables,
    `uncertainty of a ${reading.method} ±${sayChange(uncertaintyC, degrees)} (k = 2), ${uncertaintyC === REFRACTOMETER_UNCERTAINTY_C ? 'ASTM D3321' : 'common practice'}`,
    `margin ${sayChange(practice.freezeMarginC, degrees)} below the lowest temperature (common practice)`,
    `at least ${WEAKEST_PERCENT} volume % (ASTM D6210), at most ${sayPercent(limits.strengthMaxPercent ?? STRONGEST_PERCENT)} volume % (${limits.strengthMaxPercent == null ? 'ASTM D6210' : 'spec sheet'})`,
  ];
}

/**
 * The same for a calculator: nothing but the reading and, where given, the lowest temperature.
 *
 * @param input °C, nD, Brix or volume %
 * @throws ImpossibleValue for a value that no coolant has.
 * @example calculateFreezePoint({ base: 'ethylene-glycol', method: 'volume-percent', value: 50, unit: '%' }).computed.freezePoint // -37 °C
 */
export function calculateFreezePoint(
  input: Omit<FreezePointReading, 'kind'> & { designLowTemperatureC?: number | null },
): Evaluation {
  const { designLowTemperatureC, ...reading } = input;
  return evaluateFreezePoint({ kind: 'freeze-point', ...reading }, { designLowTemperatureC });
}

// The ethylene scale on propylene glycol reads about 10 °C too good; a mixture of bases has no
// scale at all.
function doubtTheScale(
  reading: FreezePointReading,
  base: CoolantBase,
  limits: FreezePointLimits,
  findings: Findings,
): boolean {
  const scale = reading.scale ?? base;
  const inSystem = new Set<CoolantBase>([base, ...(limits.basesInSystem ?? [])]);
  if (limits.base != null) inSystem.add(limits.base);
  if (inSystem.size > 1) {
    findings.doubts.push(
      'Both ethylene and propylene glycol are or may be in the system: no scale reads a mixture of bases. Flush the system, refill it and read it again.',
    );
  }
  if (scale !== base) {
    findings.doubts.push(
      `Read on a scale for ${baseInWords(scale)}, but the coolant is ${baseInWords(base)}: read it again on a scale for ${baseInWords(base)}.`,
    );
  }
  return inSystem.size === 1 && scale === base;
}

/** The unit for temperatures in words. */
function degreesOf({ unit }: FreezePointReading): Unit {
  return dimensionOf(unit) === 'temperature' ? unit : 'C';
}

function describe(reading: FreezePointReading, { mixture, strength, beyondTable }: StrengthReading): string {
  if (mixture === null) return 'The strength is not known';
  const unit = degreesOf(reading);
  const volume = `${sayPercent((strength ?? mixture).volumePercent)} volume %`;
  if (!beyondTable) return `Read as ${say(mixture.freezePointC, 'C', unit)}, ${volume}`;
  return strength === null
    ? `Read as at least ${say(mixture.freezePointC, 'C', unit)}, more than ${volume}`
    : `Read as ${volume}`;
}
