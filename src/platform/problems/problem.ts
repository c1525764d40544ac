import type { Words } from '../../domain/message.js';
import { presentMessage } from '../words/present-message.js';
import { IN_LOGS, type Reader, textOf } from '../words/render.js';

/**
 * One fault, and where it stands: in the body (`pointer`, RFC 6901), the query (`parameter`), a
 * header; or a file's line and column, with what stands there.
 */
export interface FieldFault {
  pointer?: string;
  parameter?: string;
  header?: string;
  line?: number;
  column?: string;
  value?: string;
  detail: Words;
}

const TITLES: Record<number, string> = {
  400: 'The request cannot be read',
  401: 'A valid token is needed',
  403: 'This token may not do that',
  404: 'Not found',
  405: 'This path does not take that method',
  406: 'Not available in that form',
  408: 'The request took too long to arrive',
  409: 'It conflicts with what is recorded',
  410: 'It is no longer kept',
  412: 'It has changed since you read it',
  413: 'The body is too large',
  414: 'The address is too long',
  415: 'The body is in a form that is not taken here',
  416: 'The range lies outside the file',
  422: 'The content cannot be accepted',
  429: 'Too many requests',
  431: 'The headers are too large',
  499: 'The caller has left',
  500: 'Something went wrong here',
  503: 'A part of the service is away',
};

/** Titles of problems that the one of their status does not fit. */
const TITLES_OF: Record<string, string> = { 'too-busy': 'Too many writes at once' };

/** So many faults one answer names at most; `errorsLeftOut` says how many more there are. */
export const MOST_FAULTS = 100;

/** An error as it is answered: RFC 9457 problem details. */
export class Problem extends Error {
  readonly errors: FieldFault[];
  /** What this kind of problem tells besides (RFC 9457, extension members). */
  readonly members: Readonly<Record<string, unknown>>;

  constructor(
    readonly status: number,
    readonly slug: string,
    readonly detail: Words,
    errors: readonly FieldFault[] = [],
    readonly headers: Record<string, string> = {},
    members: Readonly<Record<string, unknown>> = {},
    readonly title: string = TITLES_OF[slug] ?? TITLES[status] ?? 'The request failed',
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
      title: this.title,
      status: this.status,
      ...saidAs('detail', this.detail, reader),
      instance,
      ...(this.errors.length > 0 ? { errors: this.errors.map((fault) => shownFault(fault, reader)) } : {}),
      ...this.members,
    };
  }
}

/** A fault as it is answered: where it stands, and what is wrong there. */
export function shownFault({ detail, ...place }: FieldFault, reader: Reader): Record<string, unknown> {
  return { ...place, ...saidAs('detail', detail, reader) };
}

/** A message told under the name that RFC 9457 has for its text. */
function saidAs(name: 'detail', words: Words, reader: Reader): Record<string, unknown> {
  if (typeof words === 'string') return { [name]: words };
  const { code, values, text } = presentMessage(words, reader);
  return { code, values, [name]: text };
}

export function notFound(what: string): Problem {
  return new Problem(404, 'not-found', `There is no such ${what} in this fleet.`);
}

function placeOf({ pointer, line, column }: FieldFault): string {
  if (line === undefined && column === undefined) return pointer || 'The body';
  return [line === undefined ? [] : `line ${line}`, column === undefined ? [] : `column "${column}"`]
    .flat()
    .join(', ');
}

/** The body is well-formed and its content is not acceptable. */
export function unacceptable(errors: FieldFault[]): Problem {
  const [first] = errors;
  const detail =
    errors.length === 1 && first
      ? `${placeOf(first)}: ${textOf(first.detail, IN_LOGS)}`
      : `${errors.length.toLocaleString('en')} fields are not acceptable; ${errors.length > MOST_FAULTS ? `the first ${MOST_FAULTS} are in errors` : 'see errors'}.`;
  return new Problem(422, 'unacceptable-content', detail, errors);
}

export function badQuery(parameter: string, detail: Words): Problem {
  return new Problem(400, 'bad-query', `${parameter}: ${textOf(detail, IN_LOGS)}`, [{ parameter, detail }]);
}

export function conflict(slug: string, detail: Words, errors: FieldFault[] = []): Problem {
  return new Problem(409, slug, detail, errors);
}
