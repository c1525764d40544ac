import type { BOARD_MESSAGES } from './messages.js';
import type { DueLine, LossAlert, Reading } from './types.js';

type ValueOf<K> = K extends 'number'
  ? number
  : K extends 'text'
    ? string
    : K extends 'list'
      ? readonly string[]
      : K extends readonly (infer Word)[]
        ? Word
        : never;

/** Terms and phrases of the rules that the board shares. */
interface Shared {
  'part-with-item': { component: 'text'; item: 'text' };
  'part-in-circuit': { part: 'text'; circuit: 'text' };
  'work-on-part': { part: 'text'; action: 'text' };
  'hold-test-by-method': { method: readonly ['vacuum', 'pressure'] };
}
type Heading = 'not-known' | 'heading-at-once' | 'heading-due-list' | 'heading-cautions';
type Term =
  | `component-${DueLine['component']}`
  | `action-${DueLine['action']}`
  | `circuit-${NonNullable<DueLine['circuit']>}`
  | `reading-${Reading['kind']}`
  | `alert-${LossAlert['kind']}`;

type All = typeof BOARD_MESSAGES & Shared & Record<Heading | Term, object>;

/** What the board can say. */
export type Code = keyof All;

/** The values of a message, as arguments: none where it has none. */
export type ValuesOf<C extends Code> = keyof All[C] extends never
  ? []
  : [values: { readonly [Name in keyof All[C]]: ValueOf<All[C][Name]> }];

/** A message without values. */
export type PlainCode = { [C in Code]: ValuesOf<C> extends [] ? C : never }[Code];
