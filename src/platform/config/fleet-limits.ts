import { type Environment, wholeNumber } from './environment.js';

/** One fleet's share of the resources that all fleets use. */
export interface FleetLimits {
  /** Open event streams, in one process. */
  streams: number;
  /** Requests per minute over all its tokens, sign-ins and processes; 0 means no limit. */
  requestsPerMinute: number;
  /** Active tokens. */
  tokens: number;
  /** Bytes of stored attachments. */
  attachmentBytes: number;
  /** Visit plans that are waiting for the solver or being solved. */
  waitingPlans: number;
  /** Telematics sources. */
  telematicsSources: number;
  telematicsMachines: number;
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
    telematicsSources: wholeNumber(env, 'FLEET_TELEMATICS_SOURCES', 20, 1, 1_000),
    telematicsMachines: wholeNumber(env, 'FLEET_TELEMATICS_MACHINES', 150_000, 1, 10_000_000),
  };
}
