import type { Language } from '../../../platform/words/languages.js';

/** A message as it is sent, for every kind of target. */
export interface MessageBody {
  type: string;
  timestamp: string;
  /** The language of all its texts. Missing in older messages, which are in English. */
  language?: Language;
  /** The fleet's time zone, for times in e-mails. Missing in older messages; then UTC. */
  timeZone?: string;
  data: unknown;
}
