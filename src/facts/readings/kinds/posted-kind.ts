import { Choice } from '../../../platform/fields/fields.js';
import type { Pointers } from '../../../platform/problems/range-problem.js';
import type { ReadingKind } from '../../../domain/readings/kinds.js';

/** How to read a posted reading of one kind. */
export interface PostedKind<I extends { kind: string }, R extends { kind: string }> {
  /** The class that validates it. */
  input: new () => I;
  /**
   * The reading in the units that the rules compute with. Keeps the typed unit, to word messages in
   * it.
   */
  canonical(input: I): R;
  /**
   * Pointers of fields that the rule names differently from the input, or that the rule can find
   * missing.
   */
  fields?: Pointers;
}

/** The field that says which kind a reading is of. */
export const Kind = (kind: ReadingKind): PropertyDecorator => Choice([kind]);
