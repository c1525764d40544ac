import type { Language } from '../../../platform/words/languages.js';

/** A message as it is sent, to whatever kind of target. */
export interface MessageBody {
  type: string;
  timestamp: string;
  /**
   * Of every text in it. Left out in messages that were made before there was a choice: English.
   */
  language?: Language;
  /** Of the fleet, by whose clocks an e-mail tells times; left out in older messages: UTC. */
  timeZone?: string;
  data: unknown;
}
