import type { Message } from './message.js';

/**
 * A number in the canonical unit of its field, a text, or a quantity in the unit in which it was
 * typed.
 */
export type Given = number | string | { readonly value: number; readonly unit: string };

/** What would be possible: each member that is present holds. */
export interface Limit {
  readonly min?: Given;
  readonly max?: Given;
  /** More than this. */
  readonly above?: Given;
  /** Less than this. */
  readonly below?: Given;
  readonly whole?: true;
  readonly oneOf?: readonly string[];
  /** How it is written, such as YYYY-MM-DD. */
  readonly form?: string;
}

/** What is impossible, and why. */
export interface Impossible {
  /** The name of the field, as the function that refuses it calls it. */
  readonly field: string;
  /** Its place in the list of that name, from 0. */
  readonly index?: number | null;
  readonly value?: Given | null;
  readonly limit?: Limit | null;
  /** What was probably meant. */
  readonly meant?: Given | null;
  /** What is wrong, and how to correct it. Only `field` names the field. */
  readonly detail: Message;
}

/**
 * An impossible input. Rules throw only this error for something that the sender must correct; any
 * other error is a fault of the program.
 *
 * @example new ImpossibleValue({ field: 'slip', value: 120, limit: { max: 100 }, detail:
 *   message('slip-above-100', { slip: 120 }) }).message // 'slip: slip-above-100'
 */
// oxlint-disable-next-line no-restricted-globals -- the one error that the rules throw
export class ImpossibleValue extends RangeError implements Impossible {
  override readonly name = 'ImpossibleValue';
  readonly field: string;
  readonly index: number | null;
  readonly value: Given | null;
  readonly limit: Limit | null;
  readonly meant: Given | null;
  readonly detail: Message;

  constructor({ field, index = null, value = null, limit = null, meant = null, detail }: Impossible) {
    super(messageOf(field, index, detail));
    this.field = field;
    this.index = index;
    this.value = value;
    this.limit = limit;
    this.meant = meant;
    this.detail = detail;
  }
}

/** For the log. People count from 1. */
function messageOf(field: string, index: number | null, detail: Message): string {
  const place = index === null ? field : `${field}[${index + 1}]`;
  return `${place}: ${detail.code}`;
}
