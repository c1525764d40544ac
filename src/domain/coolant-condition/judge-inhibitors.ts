import type { CommonPractice } from '../evaluation/common-practice.js';
import { type Findings, noFindings } from '../evaluation/findings.js';
import type { Message } from '../message.js';
import { additiveDose, type AdditiveDose, type CoolantAdditive, doseTarget } from './additive-dose.js';
import {
  type CoolantInUse,
  hasWetLiners,
  type Judged,
  type MeasuredCondition,
  molybdateMakesUp,
  type Range,
  rangeOf,
} from './inhibitor-limits.js';
import { additiveTerm } from './additive-term.js';
import { message } from './messages.js';

/** Below this a coolant is acid and attacks every metal in the system, whatever its limits. */
const NEUTRAL_PH = 7;

interface Means {
  practice: CommonPractice;
  additive: CoolantAdditive | null;
  capacityL: number | null;
}

/** The results from the measured values. */
export interface JudgedInhibitors {
  findings: Findings;
  /** Codes such as `nitrite-low`. */
  found: string[];
  basis: Message[];
  /** How many values had a limit. */
  judged: number;
  /**
   * The largest dose that is missing, as on the bottle; null where none is, or the bottle is not
   * known.
   */
  dose: AdditiveDose | null;
}

/**
 * Judges each measured value by its range. For low nitrite, molybdate or SCA around wet liners, the
 * reason names the consequence: cavitation. If the sheet has the additive's bottle, it gives the
 * dose.
 *
 * @param measured pH, mg/L, units per US gallon, mL
 */
export function judgeInhibitors(
  measured: MeasuredCondition,
  coolant: CoolantInUse,
  means: Means,
): JudgedInhibitors {
  const result: JudgedInhibitors = {
    findings: noFindings(),
    found: [],
    basis: [],
    judged: 0,
    dose: null,
  };
  const values: [Judged, number | null][] = [
    ['ph', measured.pH],
    ['nitrite', measured.nitriteMgPerL],
    ['molybdate', measured.molybdateMgPerL],
    ['sca', measured.scaUnitsPerGallon],
    ['reserve-alkalinity', measured.reserveAlkalinityMl],
  ];
  for (const [judged, value] of values)
    if (value !== null) judgeOne(judged, value, measured, coolant, means, result);
  if (measured.reserveAlkalinityMl !== null) result.basis.push(message('basis-reserve-alkalinity'));
  return result;
}

function judgeOne(
  judged: Judged,
  value: number,
  measured: MeasuredCondition,
  coolant: CoolantInUse,
  means: Means,
  result: JudgedInhibitors,
): void {
  const { findings, found, basis } = result;
  const term = message('coolant-value', { what: judged, value });
  if (judged === 'ph' && value < NEUTRAL_PH) {
    result.judged += 1;
    basis.push(message('basis-coolant-acid'));
    found.push('ph-acid');
    findings.fails.push(message('coolant-acid', { measured: term }));
    return;
  }
  const range = rangeOf(judged, coolant, means.practice);
  if (range === null) {
    tellUnjudged(judged, term, measured, coolant, means, result);
    return;
  }
  result.judged += 1;
  const { least, most } = range;
  basis.push(rangeBasis(judged, range));
  const isLow = least !== null && value < least;
  if (isLow && judged === 'nitrite' && isDefaultOfIat(range, coolant)) {
    if (molybdateMakesUp(value, measured.molybdateMgPerL, means.practice)) {
      basis.push(message('basis-nitrite-with-molybdate'));
      return;
    }
  }
  if (isLow) {
    found.push(`${judged}-low`);
    findings.fails.push(
      message('coolant-value-too-low', {
        measured: term,
        least,
        cavitation: isOpenToCavitation(judged, coolant),
      }),
      remedy(judged, value, range, coolant, means, result),
    );
  } else if (most !== null && value > most) {
    found.push(`${judged}-high`);
    findings.fails.push(
      message('coolant-value-too-high', { measured: term, most }),
      message(judged === 'ph' ? 'coolant-ph-stays-high' : 'coolant-too-much-additive'),
    );
  }
}

const isDefaultOfIat = ({ source }: Range, { technology }: CoolantInUse): boolean =>
  technology === 'IAT' && source !== 'sheet';

function rangeBasis(what: Judged, { least, most, source }: Range): Message {
  const limits = least === null ? 'most' : most === null ? 'least' : 'both';
  return message('basis-coolant-range', { what, limits, least: least ?? 0, most: most ?? 0, source });
}

function tellUnjudged(
  judged: Judged,
  term: Message,
  { nitriteMgPerL, molybdateMgPerL }: MeasuredCondition,
  coolant: CoolantInUse,
  { practice }: Means,
  result: JudgedInhibitors,
): void {
  const { findings, basis } = result;
  const { technology } = coolant;
  if (judged !== 'nitrite' || technology === null) {
    findings.remarks.push(message('coolant-value-no-limit', { measured: term }));
    return;
  }
  if (technology !== 'IAT') {
    findings.remarks.push(message('nitrite-not-relied-on', { measured: term, technology }));
    return;
  }
  const least = practice.nitriteMinWetLinersMgPerL;
  const isEnough =
    nitriteMgPerL !== null &&
    (nitriteMgPerL >= least || molybdateMakesUp(nitriteMgPerL, molybdateMgPerL, practice));
  if (hasWetLiners(coolant) === false) {
    findings.remarks.push(message('nitrite-no-wet-liners', { measured: term }));
    return;
  }
  result.judged += 1;
  basis.push(message('basis-nitrite-if-wet-liners', { least }));
  if (!isEnough) findings.doubts.push(message('nitrite-if-wet-liners', { measured: term, least }));
}

const INHIBITS_CAVITATION: readonly Judged[] = ['nitrite', 'molybdate', 'sca'];

/**
 * Liners are open to cavitation where nitrite is what keeps it off, unless they are known to be
 * dry.
 */
function isOpenToCavitation(judged: Judged, coolant: CoolantInUse): 'yes' | 'no' {
  return INHIBITS_CAVITATION.includes(judged) && hasWetLiners(coolant) !== false ? 'yes' : 'no';
}

function remedy(
  judged: Judged,
  value: number,
  { least, most }: Range,
  { technology }: CoolantInUse,
  { additive, capacityL }: Means,
  result: JudgedInhibitors,
): Message {
  if (judged === 'ph') return message('coolant-ph-stays-low');
  if (judged === 'reserve-alkalinity') return message('coolant-protection-used-up');
  const dose =
    additive === null || capacityL === null || least === null
      ? null
      : additiveDose(additive, judged, { measured: value, target: doseTarget(least, most) }, capacityL);
  if (dose !== null) {
    if (result.dose === null || dose.amountL > result.dose.amountL) result.dose = dose;
    const product = additiveTerm(dose.product);
    return message('coolant-add-dose', { amount: dose.inWords, product });
  }
  return message(technology === 'NOAT' ? 'coolant-add-extender' : 'coolant-add-additive');
}
