import { message } from '../messages.js';

/** A test for combustion gas in the coolant; common practice, no published source. */
export const GAS_TEST = message('step-gas-test');

/**
 * The test after a part that may have let gas in was renewed; common practice, no published source.
 */
export const GAS_PROOF = message('step-gas-proof');
