import { messages } from '../../domain/message.js';

export const message = messages({
  'calculator-unknown': { name: 'text', known: 'list' },
  'calculator-fields-together': { count: 'number', given: 'list', together: 'list' },
  'calculator-belt-empty': {},
  'calculator-torques-twice': {},
  'calculator-torques-missing': {},
  'calculator-torque-count-missing': {},
  'calculator-reading-empty': {},
});
