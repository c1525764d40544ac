import type { Message } from '../../../../../src/domain/message.js';
import type { MeasureKind, UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import type { Unit } from '../../../../../src/domain/quantities/units.js';

export type Plain = Readonly<Record<string, unknown>>;

/** What a form holds of a record, or of a part of one. */
export interface Draft {
  /** Tells entries of a list apart while they are moved and removed. */
  key: number;
  /** What the service had; null for something new. */
  given: Plain | null;
  /** What was typed: text for each field, empty where nothing is given. */
  typed: Readonly<Record<string, string>>;
  groups: Readonly<Record<string, Draft>>;
  lists: Readonly<Record<string, readonly Draft[]>>;
  /** Names of what is ready-made in it; an empty one: all of it. */
  marks: readonly string[];
}

/** A value that can be chosen, and what it is called. */
export type Choices = readonly (readonly [value: string, name: Message | string])[];

interface Named {
  /** As the service calls it. */
  name: string;
  label: Message;
}

/** Something that is typed or chosen in one field. */
export type LeafPart =
  | (Named & { is: 'text' })
  /** @param unit a symbol, if it has one */
  | (Named & { is: 'number'; unit?: string })
  | (Named & { is: 'quantity'; measure: MeasureKind | ((draft: Draft) => MeasureKind) })
  /** Kept in the unit in which it was given, one of these. */
  | (Named & { is: 'amount'; units: readonly Unit[] })
  /** @param preset what a new one begins with */
  | (Named & { is: 'choice'; choices: Choices; isOptional?: true; preset?: string })
  | (Named & { is: 'choices'; choices: Choices })
  | (Named & { is: 'flag' })
  | (Named & { is: 'yes-no' })
  /** Several texts, one a line. */
  | (Named & { is: 'lines' });

/** Parts that belong together. Where none of them is given, the service has none of it. */
export type GroupPart = Named & { is: 'group'; shape: Shape; isRequired?: true };

export type ListPart = Named & {
  is: 'list';
  shape: Shape;
  /** What one of them is called, by what was typed so far. */
  titleOf: (entry: Draft) => string;
  /** What else is seen of it while it is folded up. */
  gist?: (entry: Draft, units: UnitSystem) => string;
  add: Message;
};

export type Part = LeafPart | GroupPart | ListPart;

/** What a record consists of, in the order in which it is shown. */
export type Shape = readonly Part[];
