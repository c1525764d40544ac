import type { Message } from '../../domain/message.js';
import { presentMessage } from '../words/present-message.js';
import { IN_LOGS, type Reader, textOf } from '../words/render.js';
import { kindOf, message, type RecordName } from './messages.js';
import type { ProblemSlug } from './problem-kinds.js';
import { titleOf } from './titles.js';

/**
 * One fault, and its place: in the body (`pointer`, RFC 6901), the query (`parameter`), a header;
 * or a file's line and column, with what the cell holds.
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

/** One answer names at most so many faults; `errorsLeftOut` says how many more there are. */
export const MOST_FAULTS = 100;

/** An error as it is answered: RFC 9457 problem details. */
export class Problem extends Error {
  readonly errors: FieldFault[];
  /** What this kind of problem tells besides (RFC 9457, extension members). */
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

  /** @param reader in whose language and units it is told */
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

/** A fault as it is answered: its place, and what is wrong there. */
export function shownFault({ detail, ...place }: FieldFault, reader: Reader): Record<string, unknown> {
  return { ...place, ...toldAsDetail(detail, reader) };
}

/** A message whose text is told under RFC 9457's name for it. */
function toldAsDetail(told: Message, reader: Reader): Record<string, unknown> {
  const { code, values, text } = presentMessage(told, reader);
  return { code, values, detail: text };
}

/** What is wrong with an id or a name that names nothing in the fleet. */
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

/** The body is well-formed and its content is not acceptable. */
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
