import type { DueState } from '../../domain/intervals/types.js';

/** The states of a due line, the most urgent first. */
export const DUE_STATES: readonly DueState[] = ['late', 'due', 'window', 'not-due', 'no-baseline'];
