import { messages } from '../message.js';

/** Numbers are told as text: these can be infinite, or none at all. */
export const message = messages({
  'probability-outside-0-to-1': { value: 'text' },
  'probability-not-between-0-and-1': { value: 'text' },
  'degrees-of-freedom-not-whole': { value: 'text' },
  'cusum-slack-not-above-zero': { value: 'text' },
  'cusum-limit-below-zero': { value: 'text' },
  'cusum-run-not-finite': { value: 'text' },
  'trend-needs-two-values': { count: 'number' },
  'median-needs-a-value': {},
  'slope-needs-two-places': {},
});
