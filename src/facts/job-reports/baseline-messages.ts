import { messages } from '../../domain/message.js';

export const message = messages({
  'baseline-on-too-many-rows': { most: 'number' },
  'baseline-no-such-unit': { unit: 'text' },
  'baseline-voided-before': {},
  'baseline-before-service': { date: 'text', inService: 'text' },
  'baseline-counter-held': { why: 'message' },
  'baseline-counter-displaces': { at: 'text' },
  'baseline-counter-not-plausible': {},
  'baseline-resets-nothing': {},
});
