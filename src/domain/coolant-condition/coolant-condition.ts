import { cautionsFor } from '../cautions/cautions.js';
import type { CoolantTechnology } from '../coolant/coolant.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, type Findings, noFindings } from '../evaluation/findings.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { Message } from '../message.js';
import { measure } from '../quantities/measures.js';
import { requireFinite, requireNotNegative } from '../quantities/plausible.js';
import type { AdditiveDose, CoolantAdditive } from './additive-dose.js';
import type { CoolantConditionLimits, CoolantInUse, MeasuredCondition } from './inhibitor-limits.js';
import { type JudgedInhibitors, judgeInhibitors } from './judge-inhibitors.js';
import { judgeLaboratory, knownValues, type LaboratoryReport, reportBasis } from './laboratory-report.js';
import { message } from './messages.js';
import { doubtOfStrip, STRIP_WORDS, type StripDoubt, type TestStrip } from './test-strip.js';

export type { CoolantConditionLimits } from './inhibitor-limits.js';

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
  molybdateMgPerL?: number | null;
  scaUnitsPerGallon?: number | null;
  /** mL of 0.1 N acid for 10 mL of coolant (ASTM D1121). */
  reserveAlkalinityMl?: number | null;
  appearance?: CoolantAppearance | null;
  /** What the values were read with, where it was a strip. */
  strip?: TestStrip | null;
  /** Where a laboratory measured. */
  laboratory?: LaboratoryReport | null;
}

/** Limits for judging the coolant's condition; null and absent mean unknown. */
export interface CoolantConditionSurroundings {
  technology?: CoolantTechnology | null;
  /** False for a light vehicle: the heavy-duty defaults are then not used. */
  heavyDuty?: boolean | null;
  /** Whether coolant runs around the cylinder liners. */
  wetLiners?: boolean | null;
  limits?: CoolantConditionLimits | null;
  /** By what is missing is made up. */
  additive?: CoolantAdditive | null;
  capacityL?: number | null;
  /** The day of the reading, a civil date. */
  takenOn?: string | null;
  practice?: CommonPractice;
}

const LOOKS: Readonly<
  Record<CoolantAppearance, { finding: string; fail?: Message; doubt?: Message } | null>
> = {
  clear: null,
  oily: { finding: 'oil', fail: message('coolant-oily') },
  rusty: { finding: 'rust', fail: message('coolant-rusty') },
  particles: { finding: 'particles', fail: message('coolant-particles') },
  cloudy: { finding: 'cloudy', doubt: message('coolant-cloudy') },
};

/**
 * Judges a coolant's condition by the spec sheet's limits, else by the defaults (`rangeOf`): pH
 * and SCA of heavy-duty IAT, nitrite of NOAT and of conventional coolant around wet liners. Any
 * pH below 7 fails. What an expired strip read is not judged. A laboratory's further values are
 * judged by the limits that come with them.
 *
 * Source: spec sheet; `rangeOf` for the defaults; method of the reserve alkalinity: ASTM D1121.
 *
 * @param reading pH, mg/L, units per US gallon, mL
 * @returns verdict null when nothing could be judged. computed: `findings` (codes), the values, and
 * `doseAmount` with
 *   `doseUnit` (as on the bottle) and `dose` where additive is to be poured in, null otherwise
 * @throws ImpossibleValue for a pH outside 0 to 14, a negative value, a strip beside a laboratory
 * report, or a value given
 *   twice.
 * @example evaluateCoolantCondition({ kind: 'coolant-condition', pH: 7.9 }, { technology: 'IAT' }).verdict // 'fail'
 * @example evaluateCoolantCondition({ kind: 'coolant-condition', nitriteMgPerL: 120 }, { technology: 'NOAT' }).verdict // 'fail'
 */
export function evaluateCoolantCondition(
  reading: CoolantConditionReading,
  around: CoolantConditionSurroundings = {},
): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const coolant: CoolantInUse = {
    technology: around.technology ?? null,
    heavyDuty: around.heavyDuty ?? null,
    wetLiners: around.wetLiners ?? null,
    limits: around.limits ?? {},
  };
  const measured = measuredOf(reading);
  const gathered: Gathered = { findings: noFindings(), found: [], basis: [], judged: 0 };
  takeLook(reading.appearance ?? null, gathered);
  const strip = takeStrip(reading.strip ?? null, coolant.technology, around.takenOn ?? null, gathered);
  const inhibitors = judgeInhibitors(believed(measured, strip?.spoils ?? null), coolant, {
    practice,
    additive: around.additive ?? null,
    capacityL: around.capacityL ?? null,
  });
  takeInhibitors(inhibitors, gathered);
  if (reading.laboratory) takeLaboratory(reading.laboratory, gathered);
  const { findings, found, basis, judged } = gathered;
  const concluded = conclude(findings, message('coolant-within-limits'));
  return {
    verdict: judged === 0 ? null : concluded.verdict,
    reasons: judged === 0 ? [message('coolant-nothing-judged'), ...findings.remarks] : concluded.reasons,
    computed: { findings: found, ...measured, ...doseOf(inhibitors.dose) },
    cautions: cautionsFor('coolant-sample'),
    basis,
  };
}

/** The results from the parts of a reading so far. */
interface Gathered {
  findings: Findings;
  /** Codes such as `oil`. */
  found: string[];
  basis: Message[];
  /** How many values could be judged. */
  judged: number;
}

function takeLook(appearance: CoolantAppearance | null, gathered: Gathered): void {
  if (appearance === null) return;
  gathered.judged += 1;
  gathered.basis.push(message('basis-coolant-appearance'));
  const look = LOOKS[appearance];
  if (look === null) return;
  gathered.found.push(look.finding);
  if (look.fail !== undefined) gathered.findings.fails.push(look.fail);
  if (look.doubt !== undefined) gathered.findings.doubts.push(look.doubt);
}

function takeStrip(
  strip: TestStrip | null,
  technology: CoolantTechnology | null,
  takenOn: string | null,
  gathered: Gathered,
): StripDoubt | null {
  if (strip === null) return null;
  const doubt = doubtOfStrip(strip, technology, takenOn);
  if (doubt !== null) {
    gathered.judged += 1;
    gathered.found.push(doubt.finding);
    gathered.findings.doubts.push(doubt.doubt);
  }
  gathered.basis.push(message('basis-test-strip', { kind: STRIP_WORDS[strip.kind] }));
  return doubt;
}

function takeInhibitors({ findings, found, basis, judged }: JudgedInhibitors, gathered: Gathered): void {
  gathered.judged += judged;
  gathered.found.push(...found);
  gathered.basis.push(...basis);
  for (const list of ['fails', 'doubts', 'remarks'] as const) gathered.findings[list].push(...findings[list]);
}

function takeLaboratory(report: LaboratoryReport, gathered: Gathered): void {
  const { judged, isOutside } = judgeLaboratory(report, gathered.findings);
  gathered.judged += judged;
  if (isOutside) gathered.found.push('laboratory-limit');
  gathered.basis.push(reportBasis(report));
}

function doseOf(dose: AdditiveDose | null) {
  return {
    doseAmount: dose?.amount.value ?? null,
    doseUnit: dose?.amount.unit ?? null,
    dose: dose === null ? null : measure('volume', dose.amountL),
  };
}

const NOTHING: MeasuredCondition = {
  pH: null,
  nitriteMgPerL: null,
  molybdateMgPerL: null,
  scaUnitsPerGallon: null,
  reserveAlkalinityMl: null,
};

function believed(
  measured: MeasuredCondition,
  spoils: 'everything' | 'inhibitors' | null,
): MeasuredCondition {
  if (spoils === null) return measured;
  return spoils === 'everything' ? NOTHING : { ...NOTHING, pH: measured.pH };
}

function measuredOf(reading: CoolantConditionReading): MeasuredCondition {
  if (reading.strip && reading.laboratory)
    throw new ImpossibleValue({
      field: 'strip',
      detail: message('test-strip-beside-laboratory'),
    });
  const reported = reading.laboratory ? knownValues(reading.laboratory) : {};
  const take = (field: keyof MeasuredCondition): number | null => {
    const typed = reading[field] ?? null;
    const ofReport = (field in reported ? reported[field as keyof typeof reported] : null) ?? null;
    if (typed !== null && ofReport !== null && typed !== ofReport)
      throw new ImpossibleValue({
        field,
        value: typed,
        detail: message('coolant-value-given-twice', { typed, reported: ofReport }),
      });
    return typed ?? ofReport;
  };
  const measured: MeasuredCondition = {
    pH: take('pH'),
    nitriteMgPerL: take('nitriteMgPerL'),
    molybdateMgPerL: take('molybdateMgPerL'),
    scaUnitsPerGallon: take('scaUnitsPerGallon'),
    reserveAlkalinityMl: take('reserveAlkalinityMl'),
  };
  const { pH } = measured;
  if (pH !== null && (!Number.isFinite(pH) || pH < 0 || pH > 14))
    throw new ImpossibleValue({
      field: 'pH',
      value: pH,
      limit: { min: 0, max: 14 },
      detail: message('ph-outside', { value: pH }),
    });
  for (const [field, value] of Object.entries(measured))
    if (value !== null) requireNotNegative(field, requireFinite(field, value), '');
  return measured;
}
