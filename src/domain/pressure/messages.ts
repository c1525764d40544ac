import { messages } from '../message.js';

const METHOD = ['vacuum', 'pressure'] as const;
/** What became of a vacuum or pressure while it was held. */
const OUTCOME = ['lost', 'nothing-lost', 'gained'] as const;
const YES_NO = ['yes', 'no'] as const;
/** Whether the same number is asked for in another unit, told in `meant`. */
const ASKS = ['other-unit', 'nothing'] as const;
const BASE = ['ethylene-glycol', 'propylene-glycol'] as const;
/** A limit in psi is told in inches of mercury besides, in `onMercuryGauge`. */
const LIMIT = {
  limit: 'measure',
  beside: ['inches-of-mercury', 'nothing'],
  onMercuryGauge: 'text',
} as const;

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
  'hold-test-right-at-limit': { method: METHOD },
  'hold-test-settled-by-longer': { minutes: 'number' },
  'hold-test-settled-by-longer-or-finer': { method: METHOD, minutes: 'number', division: 'measure' },
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
  'hold-test-coarse-gauge': { method: METHOD, uncertainty: 'measure', allowed: 'measure' },
  'hold-test-vacuum-beyond-standard': {
    reading: ['start', 'end', 'vacuum'],
    vacuum: 'measure',
    place: 'message',
    limit: 'measure',
  },
  'engine-cold-but-hot': { coolant: 'measure', limit: 'measure' },
  'engine-cold-but-changed': { change: 'change', limit: 'change' },
  'test-pressure-above-limit': { highest: 'measure', limit: 'measure', asks: ASKS, meant: 'text' },
  'vacuum-beyond-atmosphere': {
    vacuum: 'measure',
    place: 'message',
    ...LIMIT,
    asks: ASKS,
    meant: 'text',
    check: ['barometer', 'place'],
  },
  'vacuum-negative': { vacuum: 'measure', meant: 'measure' },
  'vacuum-target-zero': { target: 'measure' },
  'vacuum-target-impossible': { target: 'measure', ...LIMIT, asks: ASKS, meant: 'text' },
  'vacuum-fill-air-left': { percent: 'number' },
  'vacuum-fill-uptake': { uptake: 'measure', topUp: 'measure' },
  'basis-hold-test-other-method': { sheet: METHOD, method: METHOD },
  'basis-hold-test-choked-flow': {},
  'basis-hold-test-usual-loss': { loss: 'measure' },
  'basis-hold-test-usual-minutes': { minutes: 'number' },
  'basis-hold-test-usual-gauge': { division: 'measure' },
  'basis-hold-test-target-at-sea-level': { target: 'measure', rule: ['per-1000-ft', 'per-1000-m'] },
  'basis-hold-test-at-cap-rating': { rating: 'measure' },
  'basis-hold-test-on-gauge': { start: 'measure', loss: 'measure', minutes: 'number' },
  'basis-hold-test-target-above-limit': { target: 'measure', limit: 'measure' },
  'basis-vapour-of-water': { below: ['ice-point', 'nothing'] },
  'basis-vapour-of-coolant': {
    percent: 'number',
    base: BASE,
    assumed: YES_NO,
    below: ['ice-point', 'nothing'],
  },
  'basis-vacuum-fill-air-left': {},
  'basis-hold-test-rate': {},
  'basis-hold-test-temperature-correction': {},
  'basis-hold-test-simple-acceptance': {},
  'basis-leak-rate': {},
});
