/** The reason of a digest about what was already open when its target was added or changed. */
export const CATCH_UP = 'catch-up';

/** Why several pieces of news go into one message. */
export type DigestReason = 'daily' | typeof CATCH_UP | 'held';

/**
 * Reads the reason from a digest's cycle, where it comes first. The rest is the day, or whatever
 * else makes the digest unique.
 */
export function reasonOfDigest(cycle: string): DigestReason {
  return cycle.split(' ', 1)[0] as DigestReason;
}
