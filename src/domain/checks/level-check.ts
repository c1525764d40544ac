import { cautionsFor } from '../cautions/cautions.js';
import type { Evaluation } from '../evaluation.js';
import { measure } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import { COMMON_PRACTICE, type CommonPractice } from './common-practice.js';
import { conclude, noFindings } from './findings.js';
import { requireFinite } from './plausible.js';
import { plain, say } from './wording.js';

/** The coolant level against its mark. */
export interface LevelCheckReading {
  kind: 'level-check';
  /** L; negative above the mark. */
  belowMarkL: number;
  engineCold: boolean | null;
  /** The volume unit that was typed, for wording. */
  unit: Unit;
}

/**
 * How well a level can be read: standard uncertainty, the larger of 0.15 L and 0.75 % of capacity (common practice).
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

/**
 * Judges a level: at the mark within what can be read (k = 2), with the engine cold.
 *
 * Source: common practice, for the uncertainty; a hot level says nothing, since the coolant has expanded.
 *
 * @param reading L below the mark
 * @param around capacity in L, or unknown
 * @returns computed: `belowMark`, `expandedUncertainty`
 * @throws ImpossibleValue when the level is not a number.
 * @example evaluateLevelCheck({ kind: 'level-check', belowMarkL: 0.8, engineCold: true, unit: 'L' }, { capacityL: 14 }).verdict // 'fail'
 */
export function evaluateLevelCheck(
  reading: LevelCheckReading,
  around: { capacityL?: number | null; practice?: CommonPractice } = {},
): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const belowMarkL = requireFinite('belowMark', reading.belowMarkL);
  const capacityL = around.capacityL ?? null;
  const expandedL = 2 * levelUncertaintyL(capacityL, practice);
  const findings = noFindings();
  const shown =
    belowMarkL < 0
      ? `${say(-belowMarkL, 'L', reading.unit)} above the mark`
      : belowMarkL > 0
        ? `${say(belowMarkL, 'L', reading.unit)} below the mark`
        : 'At the mark';
  if (reading.engineCold !== true) {
    findings.doubts.push(
      `${shown}, but ${reading.engineCold === false ? 'the engine was not cold' : 'whether the engine was cold is not known'}: read it again cold.`,
    );
  } else if (belowMarkL > expandedL * (1 + 1e-9)) {
    findings.fails.push(`${shown}: top up to the mark, and look for the loss if it sinks again.`);
  } else if (belowMarkL < -expandedL * (1 + 1e-9)) {
    findings.remarks.push('Above the mark: draw it down.');
  }
  return {
    ...conclude(
      findings,
      `${shown}, within the ±${say(expandedL, 'L', reading.unit)} that a level can be read to.`,
    ),
    computed: {
      belowMark: measure('volume', belowMarkL),
      expandedUncertainty: measure('volume', expandedL),
    },
    cautions: cautionsFor('cooling-system'),
    basis: [
      `a level is read to ±${say(expandedL, 'L', reading.unit)} (k = 2): twice the larger of ${say(practice.levelUncertaintyL, 'L', reading.unit)} and ${plain(100 * practice.levelUncertaintyShareOfCapacity)} % of capacity (common practice)`,
    ],
  };
}
