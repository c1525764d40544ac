import { messages } from '../message.js';
import type { UsageSource } from './types.js';

const SOURCE = ['dash', 'telematics', 'fuel-card', 'job', 'manual'] as const satisfies readonly UsageSource[];
const COUNTER = ['odometer', 'engine-hours'] as const;
/** The last believed reading before the one that is held, and what it shows on the same counter. */
const BEFORE = { before: 'measure', days: 'number', source: SOURCE } as const;

export const message = messages({
  'usage-unit-slip': { figure: 'number', meant: ['mi', 'km'], ...BEFORE },
  'usage-went-back': { counter: COUNTER, shown: 'measure', less: 'measure', ...BEFORE },
  'usage-too-fast': { counter: COUNTER, shown: 'measure', more: 'measure', ...BEFORE, most: 'measure' },
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
