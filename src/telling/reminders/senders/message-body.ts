import type { Language } from '../../../platform/words/languages.js';

/** A message as it is sent, to whatever kind of target. */
export interface MessageBody {
  type: string;
  timestamp: string;
  /** The language of its texts. */
  language: Language;
  data: unknown;
}
