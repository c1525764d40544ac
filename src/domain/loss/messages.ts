import { messages } from '../message.js';

const METHOD = ['vacuum', 'pressure'] as const;
const YES_NO = ['yes', 'no'] as const;

/** A level told by its marks, with the least that was lost until then. */
const BY_MARKS = { lost: 'measure' } as const;
const STRENGTH = { strength: 'number', method: 'message' } as const;

export const message = messages({
  // Evidence.
  'loss-level': {
    level: ['filled', 'at', 'above', 'below'],
    offMark: 'measure',
    first: YES_NO,
    lost: 'measure',
  },
  'loss-level-below-min': BY_MARKS,
  'loss-level-between': BY_MARKS,
  'loss-level-at-max': BY_MARKS,
  'loss-level-above-max': BY_MARKS,
  'loss-top-up': { added: 'measure', marked: YES_NO, settled: YES_NO, settling: 'measure' },
  'loss-since-last-level': BY_MARKS,
  'loss-since-last-level-by-marks': BY_MARKS,
  'loss-cooling-job': { work: 'list' },
  'loss-strength-before': STRENGTH,
  'loss-strength-fell': { expected: 'number', ...STRENGTH },
  'loss-top-up-strength': { added: 'measure', poured: ['unknown', 'water', 'mixture'], strength: 'number' },
  'loss-hold-test': {
    method: METHOD,
    verdict: ['pass', 'fail', 'inconclusive', 'none'],
    rated: YES_NO,
    lost: 'measure',
    allowed: 'measure',
  },
  'loss-hold-test-failed-again': { method: METHOD },
  'loss-top-up-again': BY_MARKS,
  'loss-again': BY_MARKS,
  'loss-vehicle-reports-low-level': { code: 'text' },
  'loss-vehicle-reports-low-pressure': { code: 'text' },
  'loss-part-replaced': { parts: 'list', known: ['on-record', 'before'] },
  'loss-part-replaced-again': { why: ['failed', 'early', 'both'], failed: 'list', early: 'list' },
  'loss-batch-fitted': { part: 'message', batch: 'text', distance: 'measure' },
  'loss-method-refractometer': {},
  'loss-method-hydrometer': {},
  'loss-method-test-strip': {},
  'loss-method-refractive-index': {},
  'loss-method-brix': {},
  'loss-method-volume-percent': {},
  // What to check next, and what to beware of.
  'loss-check-cap': {},
  'loss-check-hoses': {},
  'loss-check-weep-hole': {},
  'loss-check-radiator-and-heater': {},
  'loss-check-pressure-test': {},
  'loss-check-combustion-gas': {},
  'loss-check-water-added': {},
  'loss-check-strength': {},
  'loss-check-tester': {},
  'loss-check-failed-part': {},
  'loss-check-belt': {},
  'loss-check-first-job': {},
  'loss-check-batch-vehicles': {},
  'loss-check-batch-stock': {},
  'loss-check-fitting': {},
  'caution-vacuum-hides-leak': {},
  // Sources, formulas and limits.
  'basis-loss-early-return': { months: 'number', distance: 'measure', hours: 'number' },
  'basis-loss-cusum': { slack: 'number', distance: 'measure' },
  'basis-loss-usual': { usual: 'measure', spread: 'measure', known: ['cohort', 'assumed'], level: 'measure' },
  'basis-loss-top-ups': { share: 'number', capacity: 'measure' },
  'basis-loss-at-once': { share: 'number', capacity: 'measure' },
  'basis-loss-water': { capacity: 'measure' },
  'basis-loss-water-share': { share: 'number' },
  'basis-loss-hold-trend': { limit: 'number', method: METHOD },
  'basis-loss-hold-failed': { method: METHOD },
  'basis-loss-return': { days: 'number' },
  'basis-loss-batch': { limit: 'number', probability: 'number', batches: 'number' },
  // What cannot be.
  'loss-capacity-not-above-zero': { capacity: 'measure' },
  'loss-strengths-not-above-zero': { expected: 'number', measured: 'number' },
  'loss-instant-without-offset': { at: 'text' },
  'loss-shelving-without-end': { after: 'text' },
  'loss-shelving-ends-too-early': { until: 'text', after: 'text' },
});
