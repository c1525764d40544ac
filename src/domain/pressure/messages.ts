import { messages } from '../message.js';

const METHOD = ['vacuum', 'pressure'] as const;
/** What became of a vacuum or pressure while it was held. */
const OUTCOME = ['lost', 'nothing-lost', 'gained'] as const;
const YES_NO = ['yes', 'no'] as const;

/** What a loss is told by: `amount` is lost or gained; `corrected` for the temperature's change. */
const LOSS = {
  outcome: OUTCOME,
  amount: 'measure',
  minutes: 'number',
  corrected: YES_NO,
  allowed: 'measure',
  allowedMinutes: 'number',
} as const;

export const message = messages({
  'hold-test-held': LOSS,
  'hold-test-lost-too-much': LOSS,
  'hold-test-too-close': LOSS,
  'hold-test-right-at-limit': {},
  'hold-test-settled-by-longer': { minutes: 'number' },
  'hold-test-settled-by-longer-or-finer': { minutes: 'number', division: 'measure' },
  'hold-test-no-target': { method: METHOD },
  'hold-test-nothing-tested': { method: METHOD, start: 'measure' },
  'hold-test-too-short': { held: 'number', needed: 'number' },
  'hold-test-grew': { method: METHOD, gain: 'measure' },
  'hold-test-boiled': { deepest: 'measure' },
  'hold-test-started-short': { method: METHOD, start: 'measure', target: 'measure' },
  'hold-test-was-it-other-unit': { meant: 'text' },
  'hold-test-too-hot': { method: METHOD, coolant: 'measure', limit: 'measure' },
  'hold-test-temperature-changed': { change: 'change' },
  'hold-test-warm': { method: METHOD },
  'hold-test-maybe-warm': { method: METHOD },
  'hold-test-maybe-warm-or-dry': {},
  'hold-test-over-pressured': { highest: 'measure', limit: 'measure' },
  'hold-test-coarse-gauge': { uncertainty: 'measure', allowed: 'measure' },
  'basis-hold-test-rate': {},
  'basis-hold-test-temperature-correction': {},
  'basis-hold-test-simple-acceptance': {},
  'basis-leak-rate': {},
});
