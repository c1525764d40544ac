/** The reason of a digest of what stood already when its target was added or changed. */
export const CATCH_UP = 'catch-up';

/** Why several pieces of news go in one message. */
export type DigestReason = 'daily' | typeof CATCH_UP | 'held';

/**
 * A digest's reason stands first in its cycle; what follows is the day, or whatever else makes it
 * one of a kind.
 */
export function reasonOfDigest(cycle: string): DigestReason {
  return cycle.split(' ', 1)[0] as DigestReason;
}
