import { messages } from '../message.js';

/** Usual before model year 1981, or perhaps a serial number that stands in the wrong field. */
const FORM = ['usual', 'serial'] as const;

export const message = messages({
  'vin-length': { length: 'number', hint: FORM },
  'vin-character': { character: 'text', position: 'number', hint: FORM },
  'vin-check-digit': { given: 'text', expected: 'text', hint: ['mistyped', 'possible'] },
});
