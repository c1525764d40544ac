import { type Environment, wholeNumber } from './environment.js';

/** How much one fleet may take of what all fleets share. */
export interface FleetLimits {
  /** Event streams open at a time, in one process. */
  streams: number;
  /**
   * Requests a minute with all its tokens and sign-ins together, over all processes; 0: any number.
   */
  requestsPerMinute: number;
  /** Tokens that can be used. */
  tokens: number;
  /** Bytes of attachments that are kept. */
  attachmentBytes: number;
  /** Visit plans that wait to be solved or are being solved. */
  waitingPlans: number;
}

const BYTES_PER_MB = 1024 * 1024;
/** A fleet may make as many requests as this many tokens at their limit. */
const TOKENS_AT_FULL_RATE = 10;

/** @throws ConfigError when a setting cannot be used */
export function readFleetLimits(env: Environment, requestsPerMinuteOfToken: number): FleetLimits {
  const requests = Math.min(TOKENS_AT_FULL_RATE * requestsPerMinuteOfToken, 10_000_000);
  return {
    streams: wholeNumber(env, 'FLEET_STREAMS', 200, 1, 100_000),
    requestsPerMinute: wholeNumber(env, 'FLEET_REQUESTS_PER_MINUTE', requests, 0, 10_000_000),
    tokens: wholeNumber(env, 'FLEET_TOKENS', 500, 1, 1_000_000),
    attachmentBytes: wholeNumber(env, 'FLEET_ATTACHMENTS_MB', 20_480, 1, 1_000_000_000) * BYTES_PER_MB,
    waitingPlans: wholeNumber(env, 'FLEET_WAITING_PLANS', 20, 1, 10_000),
  };
}
