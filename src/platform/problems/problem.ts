import type { Message } from '../../domain/message.js';
import { presentMessage } from '../words/present-message.js';
import { IN_LOGS, type Reader, textOf } from '../words/render.js';
import { kindOf, message, type RecordName } from './messages.js';
import type { ProblemSlug } from './problem-kinds.js';
import { titleOf } from './titles.js';

/**
 * One fault and its place: in the body (`pointer`, RFC 6901), in the query (`parameter`), in a
 * header, or in a line and column of a file, with the cell's text.
 */
export interface FieldFault {
  pointer?: string;
  parameter?: string;
  header?: string;
  line?: number;
  column?: string;
  value?: string;
  detail: Message;
}

/** Maximum number of faults in one answer. `errorsLeftOut` says how many more there are. */
export const MOST_FAULTS = 100;

/** An error in the form of the answer: RFC 9457 problem details. */
export class Problem extends Error {
  readonly errors: FieldFault[];
  /** Extension members of this kind of problem (RFC 9457). */
  readonly members: Readonly<Record<string, unknown>>;

  constructor(
    readonly status: number,
    readonly slug: ProblemSlug,
    readonly detail: Message,
    errors: readonly FieldFault[] = [],
    readonly headers: Record<string, string> = {},
    members: Readonly<Record<string, unknown>> = {},
    readonly title: Message = titleOf(status, slug),
  ) {
    super(textOf(detail, IN_LOGS));
    this.errors = errors.slice(0, MOST_FAULTS);
    const leftOut = errors.length - this.errors.length;
    this.members = leftOut > 0 ? { errorsLeftOut: leftOut, ...members } : members;
  }

  /** @param reader the language and units of the answer */
  toBody(instance: string, reader: Reader): Record<string, unknown> {
    return {
      type: `/problems/${this.slug}`,
      title: textOf(this.title, reader),
      status: this.status,
      ...toldAsDetail(this.detail, reader),
      instance,
      ...(this.errors.length > 0 ? { errors: this.errors.map((fault) => shownFault(fault, reader)) } : {}),
      ...this.members,
    };
  }
}

/** A fault as the answer shows it: its place, and what is wrong. */
export function shownFault({ detail, ...place }: FieldFault, reader: Reader): Record<string, unknown> {
  return { ...place, ...toldAsDetail(detail, reader) };
}

/** Renders a message with its text as `detail`, as RFC 9457 names it. */
function toldAsDetail(told: Message, reader: Reader): Record<string, unknown> {
  const { code, values, text } = presentMessage(told, reader);
  return { code, values, detail: text };
}

/** The fault of an id or a name that matches nothing in the fleet. */
export function noSuch(what: RecordName): Message {
  return message('no-such-record', { what: kindOf(what) });
}

export function notFound(what: RecordName): Problem {
  return new Problem(404, 'not-found', noSuch(what));
}

function placeOf({ pointer, line, column }: FieldFault): Message {
  if (line !== undefined && column !== undefined) return message('place-line-column', { line, column });
  if (line !== undefined) return message('place-line', { line });
  if (column !== undefined) return message('place-column', { column });
  return pointer ? message('place-field', { pointer }) : message('place-body');
}

/** The problem for a body that is well-formed but has unacceptable content. */
export function unacceptable(errors: FieldFault[]): Problem {
  const [first] = errors;
  const detail =
    errors.length === 1 && first
      ? message('fault-at-place', { place: placeOf(first), fault: first.detail })
      : message('many-faults', { count: errors.length, named: Math.min(errors.length, MOST_FAULTS) });
  return new Problem(422, 'unacceptable-content', detail, errors);
}

export function badQuery(parameter: string, detail: Message, slug: ProblemSlug = 'bad-query'): Problem {
  const told = message('fault-in-query', { parameter, fault: detail });
  return new Problem(400, slug, told, [{ parameter, detail }]);
}

export function conflict(slug: ProblemSlug, detail: Message, errors: FieldFault[] = []): Problem {
  return new Problem(409, slug, detail, errors);
}
