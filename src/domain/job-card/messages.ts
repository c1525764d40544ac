import { messages } from '../message.js';

const YES_NO = ['yes', 'no'] as const;
const METHOD = ['vacuum', 'pressure'] as const;
const CONCENTRATE_AND_WATER = { concentrate: 'measure', water: 'measure' } as const;
/** A hold test as it is done: to what, how long, and what it may lose. */
const HOLD_TEST = { method: METHOD, target: 'measure', minutes: 'number', loss: 'measure' } as const;
const HOLD_TEST_WITHOUT_TARGET = { method: METHOD, minutes: 'number', loss: 'measure' } as const;
/** A machine that counts engine hours alone is run, and not driven. */
const RUN = ['driven', 'run'] as const;

export const message = messages({
  // What is not known.
  'card-no-spec-sheet': {},
  'card-no-elevation': {},
  'card-no-hold-test-procedure': {},
  'card-no-vacuum-target': {},
  'card-no-pressure-target': {},
  'card-target-too-high': { target: 'measure', limit: 'measure' },
  'card-no-target-strength': { percent: 'number' },
  'card-no-technology': {},
  'card-no-drainable-volume': {},
  'card-no-strength': {},
  'card-drains-too-little': { amount: 'measure' },
  'card-coolant-impossible': { why: 'message' },
  'card-no-additive-bottle': {},
  'card-no-cap-rating': {},
  'card-no-boiling-point': { why: 'message' },
  'card-no-belt-designation': {},
  'card-belt-unreadable': { belt: 'text', why: 'message' },
  'card-no-part': { parts: 'list' },
  'card-no-torque': { parts: 'list' },

  // What is brought.
  'card-pour-spare': CONCENTRATE_AND_WATER,
  'card-pour-after-flush': { concentrate: 'measure' },
  'card-pour-mixed': CONCENTRATE_AND_WATER,
  'card-additive': { amount: 'text', product: 'text' },
  'card-additive-unnamed': { amount: 'text' },
  'card-belt-routing': {},

  // Steps, in the order they are done.
  'step-cool': { limit: 'measure' },
  'step-inspect': { parts: 'list' },
  'step-test': { parts: 'list' },
  'step-gas-test': {},
  'step-gas-proof': {},
  'step-read-strength-first': {},
  'step-read-level': {},
  'step-drain': {},
  'step-drain-about': { amount: 'measure' },
  'step-drain-some': {},
  'step-drain-some-about': { amount: 'measure' },
  'step-clean': { parts: 'list' },
  'step-flush': {},
  'step-flush-parts': { parts: 'list' },
  'step-remove': { parts: 'list' },
  'step-remove-timed': { parts: 'list' },
  'step-remove-filter': { parts: 'list' },
  'step-fit-part': { part: 'list', after: ['timing', 'filter', 'nothing'] },
  'step-fit-parts': { after: ['timing', 'filter', 'nothing'] },
  'step-adjust': { parts: 'list' },
  'step-tighten-fasteners': { parts: 'list' },
  'step-torque': { turned: YES_NO },
  'step-torque-by-maker': {},
  'step-belt': {},
  'step-belt-tension': { isNew: ['yes', 'no'] },
  'step-hold-test': HOLD_TEST,
  'step-hold-test-no-target': HOLD_TEST_WITHOUT_TARGET,
  'step-hold-test-by-maker': {},
  'step-proof-test': HOLD_TEST,
  'step-proof-test-no-target': HOLD_TEST_WITHOUT_TARGET,
  'step-fill-by-maker': {},
  'step-fill-flushed': CONCENTRATE_AND_WATER,
  'step-fill-caught': {},
  'step-fill-caught-or-premix': { premix: 'measure', percent: 'number' },
  'step-fill-mixed': CONCENTRATE_AND_WATER,
  'step-fill-mixed-or-premix': { ...CONCENTRATE_AND_WATER, premix: 'measure', percent: 'number' },
  'step-adjust-strength': { amount: 'measure', pour: ['concentrate', 'water'], percent: 'number' },
  'step-adjust-strength-unknown': {},
  'step-dose': { amount: 'text', product: 'text' },
  'step-dose-unnamed': { amount: 'text' },
  'step-dose-by-label': {},
  'step-top-up-same': {},
  'step-road-test': { by: RUN },
  'step-recheck': { by: RUN, days: 'number', limit: 'measure' },
  'step-recheck-days': { by: RUN, days: 'number' },

  // Where the figures come from.
  'basis-card-pour': {},
  'basis-card-share': { percent: 'number' },
  'basis-card-stays-at-target': { percent: 'number' },
  'basis-card-stays-at-known': { percent: 'number' },
  'basis-card-boiling': { volumePercent: 'number', massPercent: 'number', uncertainty: 'change' },
  'basis-card-dose': { from: 'number', to: 'number' },
  'basis-card-torque-tolerance': { percent: 'number' },
});
