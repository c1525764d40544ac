import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, type Findings, noFindings } from '../evaluation/findings.js';
import { ImpossibleValue } from '../impossible-value.js';
import { measure } from '../quantities/measures.js';
import { requireFinite } from '../quantities/plausible.js';
import type { Unit } from '../quantities/units.js';
import { plain, say } from '../quantities/wording.js';
import { type LevelWord, levelAgainstMarks, levelInWords, requireAgreement } from './level-marks.js';

/** The coolant level, by its marks, in litres below the mark, or both. */
export interface LevelCheckReading {
  kind: 'level-check';
  /** Where it stands by the marks; MAX is the mark that litres are counted from. */
  level?: LevelWord | null;
  /** L; negative above the mark. */
  belowMarkL?: number | null;
  engineCold: boolean | null;
  /** The volume unit that was typed, for wording. */
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
  const told = reading.level ?? null;
  if (told !== null && belowMarkL !== null)
    requireAgreement(told, belowMarkL, { minToMaxL, expandedL, unit: reading.unit });
  const level =
    told ?? (belowMarkL === null ? null : levelAgainstMarks(belowMarkL, { minToMaxL, expandedL }));
  const findings = noFindings();
  if (told !== null) judgeWord(told, reading.engineCold, findings);
  else if (belowMarkL !== null) judgeLitres(belowMarkL, level, expandedL, reading, findings);
  else
    throw new ImpossibleValue({
      field: 'level',
      value: null,
      limit: { oneOf: ['below-min', 'between', 'at-max', 'above-max'] },
      detail:
        'is missing, and so is belowMark: give level as below-min, between, at-max or above-max, or belowMark such as {"value": 0.5, "unit": "L"}',
    });
  const within = `within the ±${say(expandedL, 'L', reading.unit)} that a level can be read to`;
  const clean =
    told === null && level !== 'between'
      ? `${shownLitres(belowMarkL ?? 0, reading.unit)}, ${within}.`
      : `${levelInWords(level ?? 'at-max')}.`;
  return {
    ...conclude(findings, clean),
    computed: {
      level,
      belowMark: belowMarkL === null ? null : measure('volume', belowMarkL),
      expandedUncertainty: measure('volume', expandedL),
    },
    cautions: cautionsFor('cooling-system'),
    basis: [
      ...(told === null
        ? []
        : ['level by its marks: below MIN fails, between them and at MAX pass (common practice)']),
      ...(belowMarkL === null
        ? []
        : [
            `a level is read to ±${say(expandedL, 'L', reading.unit)} (k = 2): twice the larger of ${say(practice.levelUncertaintyL, 'L', reading.unit)} and ${plain(100 * practice.levelUncertaintyShareOfCapacity)} % of capacity (common practice)`,
          ]),
    ],
  };
}

function judgeWord(level: LevelWord, engineCold: boolean | null, findings: Findings): void {
  if (level === 'below-min')
    findings.fails.push(
      'Below MIN. Let the engine cool, top up to MAX and note how much, then look for the leak.',
    );
  if (level === 'above-max') {
    const [cold, hot] = [
      'Draw it down to MAX. If it rises again, test for combustion gas.',
      'Hot coolant has expanded. Read it again cold.',
    ];
    findings.doubts.push(
      `Above MAX. ${engineCold === true ? cold : engineCold === false ? hot : 'Read it cold. If it is still above MAX, draw it down; if it rises again, test for combustion gas.'}`,
    );
  }
}

function judgeLitres(
  belowMarkL: number,
  level: LevelWord | null,
  expandedL: number,
  { engineCold, unit }: LevelCheckReading,
  { fails, doubts, remarks }: Findings,
): void {
  const shown = shownLitres(belowMarkL, unit);
  if (level === 'below-min')
    fails.push(`${shown}, below MIN. Let the engine cool, top up to MAX, then look for the leak.`);
  else if (engineCold !== true)
    doubts.push(
      `${shown}, but ${engineCold === false ? 'the engine was not cold' : 'whether the engine was cold is not known'}: read it again cold.`,
    );
  else if (level === null && belowMarkL > expandedL * (1 + 1e-9))
    fails.push(`${shown}: top up to the mark, and look for the loss if it sinks again.`);
  else if (belowMarkL < -expandedL * (1 + 1e-9)) remarks.push('Above the mark: draw it down.');
}

function shownLitres(belowMarkL: number, unit: Unit): string {
  if (belowMarkL === 0) return 'At the mark';
  return `${say(Math.abs(belowMarkL), 'L', unit)} ${belowMarkL < 0 ? 'above' : 'below'} the mark`;
}
