/** What tells one reading of a kind from another: as it was typed, or in canonical units. */
export interface WhatWasRead {
  kind: string;
  method?: unknown;
  fastener?: unknown;
  item?: unknown;
}

/** What failed, as a foreman says it, and what has to happen before the vehicle is driven. */
export interface FindingInWords {
  what: string;
  until: string;
}

/** What is said of a vehicle that left with a failed reading of a kind that makes it unsafe. */
export interface SafetyWords {
  /** "a " stands before `what`, "until " before `until`. */
  inWords(failed: WhatWasRead): FindingInWords;
}

/** Which of several, after what it is one of. @example named('accessory') // ' (accessory)' */
export function named(name: unknown): string {
  return typeof name === 'string' && name !== '' ? ` (${name})` : '';
}
