import type { CommonPractice } from '../evaluation/common-practice.js';
import { type Findings, noFindings } from '../evaluation/findings.js';
import { plain } from '../quantities/wording.js';
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

/** Below this a coolant is acid and attacks every metal in the system, whatever its limits. */
const NEUTRAL_PH = 7;

const NAMES: Readonly<Record<Judged, { name: string; unit: string }>> = {
  ph: { name: 'pH', unit: '' },
  nitrite: { name: 'Nitrite', unit: ' mg/L' },
  molybdate: { name: 'Molybdate', unit: ' mg/L' },
  sca: { name: 'SCA', unit: ' units per US gallon' },
  'reserve-alkalinity': { name: 'Reserve alkalinity', unit: ' mL' },
};

interface Means {
  practice: CommonPractice;
  additive: CoolantAdditive | null;
  capacityL: number | null;
}

/** What the measured values come to. */
export interface JudgedInhibitors {
  findings: Findings;
  /** Codes such as `nitrite-low`. */
  found: string[];
  basis: string[];
  /** How many values had a limit. */
  judged: number;
  /**
   * The largest dose that is missing, as on the bottle; null where none is, or the bottle is not
   * known.
   */
  dose: AdditiveDose | null;
}

/**
 * Judges each measured value by its range. Low nitrite, molybdate or SCA around wet liners is
 * told as what it leads to: cavitation. Where the additive's bottle is on the sheet, the dose is
 * told.
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
  if (measured.reserveAlkalinityMl !== null) result.basis.push('reserve alkalinity by ASTM D1121');
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
  const { name, unit } = NAMES[judged];
  const told = `${name} ${plain(value)}${unit}`;
  if (judged === 'ph' && value < NEUTRAL_PH) {
    result.judged += 1;
    basis.push('pH below 7 is acid and fails in any coolant (common practice)');
    found.push('ph-acid');
    findings.fails.push(`${told}: the coolant is acid and attacks metal. Drain, flush and fill anew.`);
    return;
  }
  const range = rangeOf(judged, coolant, means.practice);
  if (range === null) {
    tellUnjudged(judged, told, measured, coolant, means, result);
    return;
  }
  result.judged += 1;
  const { least, most, source } = range;
  basis.push(`${name} ${rangeInWords(range)}${unit} (${source})`);
  const isLow = least !== null && value < least;
  if (isLow && judged === 'nitrite' && isDefaultOfIat(range, coolant)) {
    if (molybdateMakesUp(value, measured.molybdateMgPerL, means.practice)) {
      basis.push('nitrite with molybdate, as ASTM D6210 has it for new coolant (from memory)');
      return;
    }
  }
  if (isLow) {
    found.push(`${judged}-low`);
    findings.fails.push(
      `${told}, at least ${plain(least)} needed${dangerOf(judged, coolant)}. ${remedy(judged, value, range, coolant, means, result)}`,
    );
  } else if (most !== null && value > most) {
    found.push(`${judged}-high`);
    findings.fails.push(`${told}, at most ${plain(most)} allowed. ${tooHigh(judged)}`);
  }
}

const isDefaultOfIat = ({ source }: Range, { technology }: CoolantInUse): boolean =>
  technology === 'IAT' && source !== 'spec sheet';

function rangeInWords({ least, most }: Range): string {
  return [
    ...(least === null ? [] : [`at least ${plain(least)}`]),
    ...(most === null ? [] : [`at most ${plain(most)}`]),
  ].join(', ');
}

function tellUnjudged(
  judged: Judged,
  told: string,
  { nitriteMgPerL, molybdateMgPerL }: MeasuredCondition,
  coolant: CoolantInUse,
  { practice }: Means,
  result: JudgedInhibitors,
): void {
  const { findings, basis } = result;
  const { technology } = coolant;
  if (judged !== 'nitrite' || technology === null) {
    findings.remarks.push(`${told}: no limit is known.`);
    return;
  }
  if (technology !== 'IAT') {
    findings.remarks.push(`${told} is not judged: ${technology} coolant does not rely on nitrite.`);
    return;
  }
  const least = practice.nitriteMinWetLinersMgPerL;
  const isEnough =
    nitriteMgPerL !== null &&
    (nitriteMgPerL >= least || molybdateMakesUp(nitriteMgPerL, molybdateMgPerL, practice));
  if (hasWetLiners(coolant) === false) {
    findings.remarks.push(`${told} is not judged: the engine has no wet liners to protect.`);
    return;
  }
  result.judged += 1;
  basis.push(
    `Nitrite at least ${plain(least)} mg/L if the liners are wet (conventional coolant, from memory of heavy-duty practice)`,
  );
  if (!isEnough)
    findings.doubts.push(
      `${told}: too little if the engine has wet liners, which need ${plain(least)}. Add wetLiners to the spec sheet.`,
    );
}

const INHIBITS_CAVITATION: readonly Judged[] = ['nitrite', 'molybdate', 'sca'];

/**
 * Liners are open to cavitation where nitrite is what keeps it off, unless they are known to be
 * dry.
 */
function dangerOf(judged: Judged, coolant: CoolantInUse): string {
  if (!INHIBITS_CAVITATION.includes(judged) || hasWetLiners(coolant) === false) return '';
  return ': cavitation can eat through wet liners';
}

function remedy(
  judged: Judged,
  value: number,
  { least, most }: Range,
  { technology }: CoolantInUse,
  { additive, capacityL }: Means,
  result: JudgedInhibitors,
): string {
  if (judged === 'ph') return 'Test again with a meter. If it stays low, replace the coolant.';
  if (judged === 'reserve-alkalinity') return 'Its corrosion protection is used up: replace the coolant.';
  const dose =
    additive === null || capacityL === null || least === null
      ? null
      : additiveDose(additive, judged, { measured: value, target: doseTarget(least, most) }, capacityL);
  if (dose !== null) {
    if (result.dose === null || dose.amountL > result.dose.amountL) result.dose = dose;
    return `Add ${dose.inWords} of ${dose.product ?? 'additive'}, run the engine until it has mixed, and test again.`;
  }
  return technology === 'NOAT'
    ? "Add this coolant's own extender, or replace the coolant; then test again."
    : 'Add additive by its label, run the engine until it has mixed, and test again.';
}

function tooHigh(judged: Judged): string {
  return judged === 'ph'
    ? 'Test again with a meter. If it stays high, replace the coolant.'
    : 'Too much leaves deposits and wears pump seals: drain part, and fill up without additive.';
}
