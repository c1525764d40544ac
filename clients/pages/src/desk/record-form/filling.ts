import type { UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import { isUntouched } from './draft.js';
import type { Faults } from './faults.js';
import type { Draft, LeafPart } from './shape.js';

/** A part of a form that is being filled in. */
export interface Filling {
  draft: Draft;
  units: UnitSystem;
  faults: Faults;
  type: (name: string, value: string) => void;
  onChange: (draft: Draft) => void;
  /** Whether a field still has a ready-made value. */
  isMarked: (part: LeafPart) => boolean;
}

export function fillingOf(
  draft: Draft,
  { units, faults }: Pick<Filling, 'units' | 'faults'>,
  onChange: (draft: Draft) => void,
): Filling {
  return {
    ...{ draft, units, faults, onChange },
    type: (name, value) => onChange({ ...draft, typed: { ...draft.typed, [name]: value } }),
    isMarked: (part) => draft.marks.includes(part.name) && isUntouched(part, draft, units),
  };
}
