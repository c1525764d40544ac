import { messages } from '../../domain/message.js';

const YES_NO = ['yes', 'no'] as const;

export const message = messages({
  'pick-too-many': { most: 'number' },
  // The head.
  'pick-page-title': { depot: 'text', date: 'text' },
  'pick-page-visits': { count: 'number' },
  'pick-page-none': {},
  // Headings.
  'pick-page-parts': {},
  'pick-page-coolant': { container: 'text' },
  'pick-page-additives': {},
  'pick-page-tools': {},
  'pick-page-work': {},
  'pick-page-missing': {},
  'pick-page-tick': {},
  // Rows.
  'pick-page-part': { quantity: 'number', number: 'text', what: 'text', vehicles: 'text' },
  'pick-page-part-no-number': { quantity: 'number', what: 'text', vehicles: 'text' },
  'pick-page-each': { unit: 'text', amount: 'text' },
  'pick-page-concentrate': { base: 'message', technology: 'text', vehicles: 'text' },
  'pick-page-poured-in': {
    ...{ circuit: 'message', base: 'message', technology: 'text', strength: 'number' },
    ...{ instead: YES_NO, electric: YES_NO, vehicles: 'text' },
  },
  'pick-page-water': { vehicles: 'text' },
  'pick-page-containers': { count: 'number', volume: 'text' },
  'pick-page-top-up': { count: 'number' },
  'pick-page-no-technology': {},
  'pick-page-additive': { product: 'text', vehicles: 'text' },
  'pick-page-additive-unnamed': { vehicles: 'text' },
  'pick-page-tool': { tool: 'message', vehicles: 'text' },
  'pick-page-torque': { least: 'text', most: 'text' },
  'pick-page-of-vehicle': { unit: 'text', what: 'text' },
});
