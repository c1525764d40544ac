import { ImpossibleValue } from '../impossible-value.js';
import type { Unit } from '../quantities/units.js';
import { told } from '../quantities/told.js';
import { message, type SideOfMark } from './messages.js';

/** The level of the coolant at the two marks on the reservoir. */
export type LevelWord = 'below-min' | 'between' | 'at-max' | 'above-max';

export const LEVEL_WORDS: readonly LevelWord[] = ['below-min', 'between', 'at-max', 'above-max'];

/** What a level in litres is compared with. */
interface Marks {
  /** From MIN to MAX, L; null where unknown. */
  minToMaxL: number | null;
  /** Expanded uncertainty (k = 2) of a level, L. */
  expandedL: number;
}

const ROUNDING = 1e-9;

/**
 * Turns litres below MAX into a level at the marks. A level within its uncertainty of a mark counts
 * as at the mark.
 *
 * @param belowMarkL L below MAX, negative above it
 * @returns null where the spec sheet does not say how much lies between the marks, and it is not at
 * MAX or above.
 * @example levelAgainstMarks(0.8, { minToMaxL: 1.2, expandedL: 0.3 }) // 'between'
 */
export function levelAgainstMarks(belowMarkL: number, { minToMaxL, expandedL }: Marks): LevelWord | null {
  if (belowMarkL < -expandedL - ROUNDING) return 'above-max';
  if (belowMarkL <= expandedL + ROUNDING) return 'at-max';
  if (minToMaxL === null) return null;
  return belowMarkL <= minToMaxL + expandedL + ROUNDING ? 'between' : 'below-min';
}

/**
 * Refuses a level by its marks that contradicts the litres given beside it. Litres count from
 * MAX; each mark is read within the uncertainty of a level.
 *
 * @param belowMarkL L below MAX, negative above it
 * @throws ImpossibleValue naming both, and the words that would fit.
 * @example requireAgreement('above-max', 0.5, { minToMaxL: null, expandedL: 0.3, unit: 'L' }) // throws
 */
export function requireAgreement(level: LevelWord, belowMarkL: number, marks: Marks & { unit: Unit }): void {
  const fitting = LEVEL_WORDS.filter((word) => agrees(word, belowMarkL, marks));
  if (fitting.includes(level)) return;
  const { unit, minToMaxL } = marks;
  throw new ImpossibleValue({
    field: 'level',
    value: level,
    limit: { oneOf: fitting },
    detail: message('level-contradicts-litres', {
      level,
      ...levelTold(belowMarkL, unit),
      isMinKnown: minToMaxL === null ? 'no' : 'yes',
      minToMax: told('volume', minToMaxL ?? 0, unit),
      fitting,
    }),
  });
}

/**
 * A level in litres, for a message.
 *
 * @param belowMarkL L below the mark, negative above it
 * @example levelTold(-0.5, 'L') // { side: 'above', amount: 0.5 L }
 */
export function levelTold(belowMarkL: number, unit: Unit) {
  const side: SideOfMark = belowMarkL === 0 ? 'at' : belowMarkL < 0 ? 'above' : 'below';
  return { side, amount: told('volume', Math.abs(belowMarkL), unit) };
}

function agrees(word: LevelWord, belowMarkL: number, { minToMaxL, expandedL }: Marks): boolean {
  switch (word) {
    case 'above-max':
      return belowMarkL < 0;
    case 'at-max':
      return Math.abs(belowMarkL) <= expandedL + ROUNDING;
    case 'between':
      return belowMarkL >= 0 && (minToMaxL === null || belowMarkL <= minToMaxL + expandedL + ROUNDING);
    case 'below-min':
      return belowMarkL > 0 && (minToMaxL === null || belowMarkL >= minToMaxL - expandedL - ROUNDING);
  }
}
