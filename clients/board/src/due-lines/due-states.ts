import type { DueState } from '../types.js';

/** In the order in which they press. */
export const DUE_STATES: readonly DueState[] = ['late', 'due', 'window', 'not-due', 'no-baseline'];
/** What the list shows unless asked otherwise, as the service does. */
export const USUAL_STATES: readonly DueState[] = ['late', 'due', 'window'];
