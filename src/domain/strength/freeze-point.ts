import { cautionsFor } from '../cautions/cautions.js';
import type { TestStrip } from '../coolant-condition/test-strip.js';
import { baseTerm, type CoolantBase } from '../coolant/coolant.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings, type Findings } from '../evaluation/findings.js';
import type { Message } from '../message.js';
import { measure } from '../quantities/measures.js';
import { requireFinite } from '../quantities/plausible.js';
import { told, toldChange, toldPercent } from '../quantities/told.js';
import { dimensionOf, type Unit } from '../quantities/units.js';
import {
  FREEZE_POINT_UNITS,
  readStrength,
  type FreezePointMethod,
  type StrengthReading,
} from './freeze-point-value.js';
import { message } from './messages.js';
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

/** A method as the languages choose by it. */
const METHOD_WORDS = {
  refractometer: 'refractometer',
  hydrometer: 'hydrometer',
  'test-strip': 'strip',
  'refractive-index': 'index',
  brix: 'brix',
  'volume-percent': 'percent',
} as const satisfies Record<FreezePointMethod, string>;

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
    const by = reading.method === 'brix' ? 'brix' : 'index';
    findings.doubts.push(message('freeze-point-no-table', { by, base: baseTerm(base) }));
  } else {
    const question = questionOf(reading, { base, strength, uncertaintyC, trustworthy });
    doubtTheZero(question, findings);
    judgeProtection(question, designLowC, practice, findings);
    judgeStrength(question, limits.strengthMaxPercent ?? STRONGEST_PERCENT, findings);
  }
  const shown = whatWasRead(reading, strength);
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
  remarks.push(message('freeze-point-instrument-off-zero', { shown: told('temperature', shownC, unit) }));
}

function computedOf(
  { mixture, strength, ...read }: StrengthReading,
  trustworthy: boolean,
): Evaluation['computed'] {
  // Where only "stronger than the table's end" is known, that end.
  const known = trustworthy ? (strength ?? mixture) : null;
  return {
    freezePoint:
      read.freezePointC === null || !trustworthy ? null : measure('temperature', read.freezePointC),
    strengthVolumePercent: known?.volumePercent ?? null,
    strengthMassPercent: known?.massPercent ?? null,
    table: read.table,
    beyondTable: read.beyondTable,
  };
}

function basisOf(
  reading: FreezePointReading,
  limits: FreezePointLimits,
  { tables }: StrengthReading,
  practice: CommonPractice,
): Message[] {
  const degrees = degreesOf(reading);
  const uncertaintyC = freezePointUncertaintyC(reading.method, practice);
  return [
    ...(reading.base == null ? [takenBase(limits.base ?? null)] : []),
    ...tables,
    message('basis-freeze-point-uncertainty', {
      method: METHOD_WORDS[reading.method],
      uncertainty: toldChange(uncertaintyC, degrees),
      source: uncertaintyC === REFRACTOMETER_UNCERTAINTY_C ? 'astm' : 'practice',
    }),
    message('basis-freeze-margin', { margin: toldChange(practice.freezeMarginC, degrees) }),
    message('basis-strength-limits', {
      least: WEAKEST_PERCENT,
      most: toldPercent(limits.strengthMaxPercent ?? STRONGEST_PERCENT),
      source: limits.strengthMaxPercent == null ? 'astm' : 'sheet',
    }),
  ];
}

function takenBase(base: CoolantBase | null): Message {
  return base === null
    ? message('basis-coolant-base-assumed')
    : message('basis-coolant-base-of-sheet', { base: baseTerm(base) });
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
    findings.doubts.push(message('freeze-point-mixed-bases'));
  }
  if (scale !== base) {
    findings.doubts.push(
      message('freeze-point-other-scale', { scale: baseTerm(scale), base: baseTerm(base) }),
    );
  }
  return inSystem.size === 1 && scale === base;
}

/** The unit for temperatures in words. */
function degreesOf({ unit }: FreezePointReading): Unit {
  return dimensionOf(unit) === 'temperature' ? unit : 'C';
}

function whatWasRead(
  reading: FreezePointReading,
  { mixture, strength, beyondTable }: StrengthReading,
): Message {
  if (mixture === null) return message('strength-not-known');
  const how = !beyondTable ? 'within' : strength === null ? 'least' : 'strength';
  return message('strength-read', {
    how,
    freezePoint: told('temperature', mixture.freezePointC, degreesOf(reading)),
    strength: toldPercent((strength ?? mixture).volumePercent),
  });
}
