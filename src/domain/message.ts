/**
 * A quantity in a message: a value in the measure's canonical unit (`quantities/measures.ts`). The
 * edge of the service puts it into words, in the reader's units.
 */
export interface MeasureValue {
  readonly measure: string;
  readonly value: number;
  /** The unit that a person typed. It is kept where the reader reads the same system of units. */
  readonly typed?: string;
  /** How it is rounded in words; without one, as it is read off in a bay. */
  readonly rounding?: string;
}

/** A difference of temperature, K. It has no offset, so it is not a measure. */
export interface ChangeValue {
  readonly change: number;
  readonly typed?: string;
}

/** An instant (ISO 8601), told by the clocks of a zone. */
export interface MomentValue {
  readonly moment: string;
  readonly timeZone: string;
}

/** What a message can carry. A list is told in the order given, as "a, b and c". */
export type MessageValue =
  number | string | MeasureValue | ChangeValue | MomentValue | Message | readonly (string | Message)[];

/**
 * Something to be said to a person, as data: a stable code and its values. The edge of the service
 * renders it in the reader's language and units (`src/platform/words/`).
 */
export interface Message {
  readonly code: string;
  readonly values: Readonly<Record<string, MessageValue>>;
}

/**
 * What a parameter of a message is. A list of words means: one of these, for the language to choose
 * by. `text` is told as it is: a name, a part number, a date (YYYY-MM-DD). `message` is a term or a
 * whole sentence of its own.
 */
export type ParameterKind =
  'number' | 'measure' | 'change' | 'moment' | 'text' | 'list' | 'message' | readonly string[];

type ValueOf<K> = K extends 'number'
  ? number
  : K extends 'measure'
    ? MeasureValue
    : K extends 'change'
      ? ChangeValue
      : K extends 'moment'
        ? MomentValue
        : K extends 'text'
          ? string
          : K extends 'list'
            ? readonly (string | Message)[]
            : K extends 'message'
              ? Message
              : K extends readonly (infer Word)[]
                ? Word
                : never;

type Declared = Readonly<Record<string, Readonly<Record<string, ParameterKind>>>>;
type ValuesOf<P> = { readonly [Name in keyof P]: ValueOf<P[Name]> };

/** Makes the messages of a folder, each with exactly the values that it declares. */
export interface MessageMaker<D extends Declared> {
  <C extends keyof D & string>(code: C, ...values: keyof D[C] extends never ? [] : [ValuesOf<D[C]>]): Message;
  /** The codes and their parameters, for the check of the languages. */
  readonly declared: D;
}

/**
 * Declares the messages of a folder. Codes are stable, unique in the whole service, and told in the
 * API.
 *
 * @example messages({ 'cap-stuck': {}, 'belt-slips': { slip: 'number' } })('belt-slips', { slip: 3 })
 */
export function messages<const D extends Declared>(declared: D): MessageMaker<D> {
  const make = (code: string, values: Message['values'] = {}): Message => ({ code, values });
  return Object.assign(make, { declared }) as MessageMaker<D>;
}

/**
 * The code of a sentence that was stored before there were messages: its words are all there is.
 */
export const LEGACY = 'legacy';

/** Whether a value is a message: it has a code and values, and nothing else. */
export function isMessage(candidate: unknown): candidate is Message {
  if (typeof candidate !== 'object' || candidate === null) return false;
  if (!Object.hasOwn(candidate, 'code') || !Object.hasOwn(candidate, 'values')) return false;
  const { code, values } = candidate as Record<'code' | 'values', unknown>;
  return (
    typeof code === 'string' &&
    typeof values === 'object' &&
    values !== null &&
    !Array.isArray(values) &&
    Object.keys(candidate).length === 2
  );
}
