import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import type { ProblemSlug } from './problem-kinds.js';

const TITLES: Readonly<Record<number, Message>> = {
  400: message('title-cannot-be-read'),
  401: message('title-no-valid-token'),
  403: message('title-not-allowed'),
  404: message('title-not-found'),
  405: message('title-wrong-method'),
  406: message('title-not-in-that-form'),
  408: message('title-too-slow'),
  409: message('title-conflict'),
  410: message('title-gone'),
  412: message('title-changed'),
  413: message('title-body-too-large'),
  414: message('title-address-too-long'),
  415: message('title-form-not-taken'),
  416: message('title-outside-file'),
  422: message('title-not-acceptable'),
  429: message('title-too-many'),
  431: message('title-headers-too-large'),
  499: message('title-caller-gone'),
  500: message('title-internal'),
  503: message('title-part-away'),
};

/** Titles of kinds that need another title than their status has. */
const TITLES_OF: Partial<Record<ProblemSlug, Message>> = { 'too-busy': message('title-too-busy') };

/** The title of a problem: a few words that are always the same for its kind. */
export function titleOf(status: number, slug: ProblemSlug): Message {
  return TITLES_OF[slug] ?? TITLES[status] ?? message('title-refused');
}
