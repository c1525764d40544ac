import { messages } from '../message.js';

const COUNTER = ['odometer', 'engine-hours'] as const;
/** The last believed reading before the one that is held, and what it shows on the same counter. */
const BEFORE = { before: 'measure', days: 'number', source: 'message' } as const;

export const message = messages({
  // Terms: where a reading comes from.
  'usage-source-dash': {},
  'usage-source-telematics': {},
  'usage-source-fuel-card': {},
  'usage-source-job': {},
  'usage-source-manual': {},
  'usage-unit-slip': { figure: 'number', meant: ['mi', 'km'], ...BEFORE },
  'usage-went-back': { counter: COUNTER, shown: 'measure', less: 'measure', ...BEFORE },
  'usage-too-fast': { counter: COUNTER, shown: 'measure', more: 'measure', ...BEFORE, most: 'measure' },
  // Of a machine that reports by itself: nobody can read it again or post it otherwise.
  'usage-device-went-back': { counter: COUNTER, shown: 'measure', less: 'measure', ...BEFORE },
  'usage-device-too-fast': {
    ...{ counter: COUNTER, shown: 'measure', more: 'measure', ...BEFORE, most: 'measure' },
  },
  'usage-contradicted': {
    by: ['manager', 'later-readings'],
    figures: ['one', 'two', 'several'],
    first: 'measure',
    last: 'measure',
  },
  'usage-in-the-future': {},
  'usage-expected-below-zero': { perDay: 'text' },
  'usage-both-held': { odometer: 'message', engineHours: 'message' },
});
