import { messages } from '../message.js';

/** Whether the rule binds the vehicle; if not, what is said is a notice. */
const FORM = ['usual-before-1981', 'other-number'] as const;

export const message = messages({
  'vin-length': { length: 'number', then: FORM },
  'vin-character': { character: 'text', position: 'number', then: FORM },
  'vin-check-digit': { given: 'text', expected: 'text', then: ['mistyped', 'may-be-right'] },
});
