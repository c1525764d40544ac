import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, type Findings, noFindings } from '../evaluation/findings.js';
import { ImpossibleValue } from '../impossible-value.js';
import { measure } from '../quantities/measures.js';
import { requireFinite } from '../quantities/plausible.js';
import type { Message } from '../message.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import {
  type LevelWord,
  LEVEL_WORDS,
  levelAgainstMarks,
  levelTold,
  requireAgreement,
} from './level-marks.js';
import { message } from './messages.js';

/** The coolant level, by its marks, in litres below the mark, or both. */
export interface LevelCheckReading {
  kind: 'level-check';
  /** The level at the marks. Litres are counted from MAX. */
  level?: LevelWord | null;
  /** L; negative above the mark. */
  belowMarkL?: number | null;
  engineCold: boolean | null;
  /** The volume unit that was typed. */
  unit: Unit;
}

/**
 * How well a level can be read: standard uncertainty, the larger of 0.15 L and 0.75 % of capacity
 * (common practice).
 *
 * @param capacityL L, or null when unknown
 * @returns L
 * @example levelUncertaintyL(40) // 0.3
 */
export function levelUncertaintyL(
  capacityL: number | null,
  practice: CommonPractice = COMMON_PRACTICE,
): number {
  return Math.max(practice.levelUncertaintyL, practice.levelUncertaintyShareOfCapacity * (capacityL ?? 0));
}

/** What a level is judged by; null and absent mean unknown. */
export interface LevelSurroundings {
  capacityL?: number | null;
  /** From MIN to MAX on the reservoir, L. */
  minToMaxL?: number | null;
  practice?: CommonPractice;
}

/**
 * Judges a level. By its marks: below MIN fails, between the marks and at MAX pass, all of them
 * cold or hot; above MAX is inconclusive. In litres: at the mark within what can be read (k = 2),
 * with the engine cold, or above MIN where the spec sheet says how much lies between the marks.
 *
 * Source: common practice, also for the uncertainty. Hot coolant has expanded: below MIN when hot
 * is lower still when cold.
 *
 * @param reading a level by its marks, L below the mark, or both
 * @param around capacity and MIN to MAX in L, or unknown
 * @returns computed: `level` (by the marks, null where unknown), `belowMark` (null where unknown),
 * `expandedUncertainty`
 * @throws ImpossibleValue when neither is given, the level is not a number, or the two contradict
 * each other.
 * @example evaluateLevelCheck({ kind: 'level-check', level: 'below-min', engineCold: false, unit: 'L' }).verdict // 'fail'
 * @example evaluateLevelCheck({ kind: 'level-check', belowMarkL: 0.8, engineCold: true, unit: 'L' }, { capacityL: 14 }).verdict // 'fail'
 */
export function evaluateLevelCheck(reading: LevelCheckReading, around: LevelSurroundings = {}): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const capacityL = around.capacityL ?? null;
  const minToMaxL = around.minToMaxL ?? null;
  const expandedL = 2 * levelUncertaintyL(capacityL, practice);
  const belowMarkL = reading.belowMarkL == null ? null : requireFinite('belowMark', reading.belowMarkL);
  const said = reading.level ?? null;
  if (said !== null && belowMarkL !== null)
    requireAgreement(said, belowMarkL, { minToMaxL, expandedL, unit: reading.unit });
  const level =
    said ?? (belowMarkL === null ? null : levelAgainstMarks(belowMarkL, { minToMaxL, expandedL }));
  const findings = noFindings();
  if (said !== null) judgeWord(said, reading.engineCold, findings);
  else if (belowMarkL !== null) judgeLitres(belowMarkL, level, expandedL, reading, findings);
  else
    throw new ImpossibleValue({
      field: 'level',
      value: null,
      limit: { oneOf: LEVEL_WORDS },
      detail: message('level-not-given', { example: '{"value": 0.5, "unit": "L"}' }),
    });
  const uncertainty = told('volume', expandedL, reading.unit);
  const clean =
    said === null && level !== 'between'
      ? message('level-within-uncertainty', { ...levelTold(belowMarkL ?? 0, reading.unit), uncertainty })
      : message(level === 'between' ? 'level-between-marks' : 'level-at-max');
  return {
    ...conclude(findings, clean),
    computed: {
      level,
      belowMark: belowMarkL === null ? null : measure('volume', belowMarkL),
      expandedUncertainty: measure('volume', expandedL),
    },
    cautions: cautionsFor('cooling-system'),
    basis: [
      ...(said === null ? [] : [message('basis-level-by-marks')]),
      ...(belowMarkL === null ? [] : [uncertaintyBasis(expandedL, reading.unit, practice)]),
    ],
  };
}

function uncertaintyBasis(expandedL: number, unit: Unit, practice: CommonPractice): Message {
  return message('basis-level-uncertainty', {
    uncertainty: told('volume', expandedL, unit),
    least: told('volume', practice.levelUncertaintyL, unit),
    percent: 100 * practice.levelUncertaintyShareOfCapacity,
  });
}

function judgeWord(level: LevelWord, engineCold: boolean | null, findings: Findings): void {
  if (level === 'below-min') findings.fails.push(message('level-below-min'));
  if (level === 'above-max') {
    const engine = engineCold === null ? 'unsaid' : engineCold ? 'cold' : 'hot';
    findings.doubts.push(message('level-above-max', { engine }));
  }
}

function judgeLitres(
  belowMarkL: number,
  level: LevelWord | null,
  expandedL: number,
  { engineCold, unit }: LevelCheckReading,
  { fails, doubts, remarks }: Findings,
): void {
  const shown = levelTold(belowMarkL, unit);
  if (level === 'below-min') fails.push(message('level-litres-below-min', { amount: shown.amount }));
  else if (engineCold !== true)
    doubts.push(message('level-not-cold', { ...shown, engine: engineCold === false ? 'hot' : 'unsaid' }));
  else if (level === null && belowMarkL > expandedL * (1 + 1e-9))
    fails.push(message('level-below-mark', { amount: shown.amount }));
  else if (belowMarkL < -expandedL * (1 + 1e-9)) remarks.push(message('level-above-mark'));
}
