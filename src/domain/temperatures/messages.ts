import { messages } from '../message.js';

export const message = messages({
  // Why a sample is refused.
  'temperature-sample-open': { temperature: 'measure' },
  'temperature-sample-impossible': {
    temperature: 'measure',
    most: 'measure',
    meant: ['fahrenheit', 'unknown'],
    typed: 'number',
  },

  // What the daily figures show.
  'temperature-creep': { now: 'measure', before: 'measure' },
  'basis-temperature-creep': { least: 'change', days: 'number' },
});
