import { messages } from '../message.js';

export const message = messages({
  // Terms.
  'ethylene-glycol': {},
  'propylene-glycol': {},

  'coolant-boils-at': {
    strength: 'number',
    base: 'message',
    boilsAt: 'measure',
    cap: ['capped', 'open'],
    rating: 'measure',
    place: ['barometer', 'elevation', 'assumed'],
    barometer: 'measure',
    elevation: 'measure',
  },
  'coolant-tap-water': {},
  'coolant-nearly-neat': { strength: 'number' },
  'freeze-point-warmer-than-water': { value: 'number', negative: 'number' },
  'freeze-point-colder-than-any': { value: 'number' },
  'refractive-index-outside': { value: 'text' },
  'brix-outside': { value: 'number' },
  'saturation-line-temperature': { value: 'number' },
  'saturation-line-pressure': { value: 'number' },
  'basis-boil-over': { strength: 'number', mass: 'number', uncertainty: 'change' },
  'basis-freezing-table': { base: 'message' },
  'basis-refraction-table': {},
});
