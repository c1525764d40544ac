import { messages } from '../../domain/message.js';

export const message = messages({
  'import-vehicles-in-use': { count: 'number', vehicles: 'list', more: 'number' },
  'import-vehicle-in-use': {
    factCount: 'number',
    facts: 'list',
    importCount: 'number',
    imports: 'list',
    isChanged: ['yes', 'no'],
    unitCount: 'number',
    units: 'list',
  },
  'import-fact-usage': {},
  'import-fact-jobs': {},
  'import-fact-readings': {},
  'import-fact-faults': {},
  'import-fact-temperatures': {},
  'import-fact-postponements': {},
  'import-fact-visits': {},
});
