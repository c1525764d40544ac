import { Choice } from '../../../platform/fields/fields.js';
import type { Pointers } from '../../../platform/problems/range-problem.js';
import type { ReadingKind } from '../../../domain/readings/kinds.js';

/** How readings of one kind are posted. */
export interface PostedKind<I extends { kind: string }, R extends { kind: string }> {
  /** The class that one is validated by. */
  input: new () => I;
  /**
   * One as it was typed, in the units the rules compute with; the typed unit goes along for
   * wording.
   */
  canonical(input: I): R;
  /**
   * Fields that the rule names otherwise than the input does, or asks for where they are left out.
   */
  fields?: Pointers;
}

/** The field by which a reading tells what it is. */
export const Kind = (kind: ReadingKind): PropertyDecorator => Choice([kind]);
