import type { Message } from '../../message.js';

/** What distinguishes readings of one kind, as typed or in canonical units. */
export interface WhatWasRead {
  kind: string;
  method?: unknown;
  fastener?: unknown;
  item?: unknown;
}

/** What failed, as a foreman says it, and what has to happen before the vehicle is driven. */
export interface FindingInWords {
  /** A term, such as "a failed pressure test". */
  what: Message;
  /** The words after "until", such as "it passes a pressure test". */
  until: Message;
}

/** What is said of a vehicle that left with a failed reading of a kind that makes it unsafe. */
export interface SafetyWords {
  inWords(failed: WhatWasRead): FindingInWords;
}

/** Which of several it was, where that was said. @example nameOf('accessory') // 'accessory' */
export function nameOf(name: unknown): string | null {
  return typeof name === 'string' && name !== '' ? name : null;
}
