import { messages } from '../message.js';

const YES_NO = ['yes', 'no'] as const;
const KNOWN = ['known', 'unknown'] as const;

const FILLED_BY = ['vacuum', 'pouring'] as const;

export const message = messages({
  'fill-stays-more-than-capacity': { stays: 'measure', capacity: 'measure' },
  'refill-needs-more-room': { target: 'number', concentrate: 'measure', room: 'measure' },
  'refill-too-strong-already': { target: 'number' },
  'refill-cannot-reach': {
    target: 'number',
    strength: 'number',
    refill: 'number',
    needed: ['strong', 'weak'],
  },
  'drain-and-replace': {
    drain: 'measure',
    capacity: 'measure',
    refill: ['water', 'coolant'],
    refillStrength: 'number',
    result: 'number',
  },
  'basis-drain-and-replace': {},
  'fill-done': { added: 'measure', empty: 'measure' },
  'fill-drained-not-known': {},
  'fill-came-in-low': {},
  'fill-short-without-air': { missing: 'measure' },
  'fill-short-not-topped-up': { missing: 'measure' },
  'fill-short-by-vacuum': { missing: 'measure', air: 'measure' },
  'fill-short-air-trapped': { missing: 'measure', toppedUp: YES_NO },
  'fill-more-than-capacity': { field: ['added', 'drained'], volume: 'measure', capacity: 'measure' },
  'fill-strength': { strength: 'number' },
  'fill-strength-too-weak': { strength: 'number' },
  'freeze-point-read-too-soon': {},
  'basis-shortfall': {},
  'basis-trapped-air': {
    allowed: 'measure',
    least: 'measure',
    share: 'number',
    of: ['capacity', 'drained'],
  },
  'coolant-other-base-remains': { base: 'message' },
  'coolant-other-base-poured': { poured: 'message', other: 'message' },
  'caution-other-technology': {
    poured: 'text',
    meant: 'text',
    share: KNOWN,
    percent: 'number',
    shortens: YES_NO,
  },
  'basis-other-technology': { percent: 'number' },
  'top-up-added': {
    added: 'measure',
    what: ['water', 'premix', 'coolant'],
    strength: 'number',
    mixed: KNOWN,
    result: 'number',
  },
  'top-up-more-than-capacity': { capacity: 'measure' },
  'top-up-water-weakens': {},
  'top-up-not-judged': {},
  'basis-top-up-strength': {},

  // Steps, in the order they are done.
  'step-prepare-fill': { by: FILLED_BY },
  'step-fill-to-mark': { by: FILLED_BY },
  'step-fill-to-mark-air': { by: FILLED_BY, air: 'measure' },
  'step-warm-up': {},
  'step-cool-down': {},
  'step-read-strength': {},
  'step-top-up': {},
});
