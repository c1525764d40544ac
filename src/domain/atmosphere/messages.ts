import { messages } from '../message.js';

export const message = messages({
  // Terms: where a limit of the air holds, as part of a sentence.
  'place-at-barometer': { reading: 'measure' },
  'place-at-sea-level-assumed': {},
  'place-at-elevation': { elevation: 'measure' },
  'basis-air-from-barometer': { reading: 'measure' },
  'basis-air-from-doubtful-barometer': { reading: 'measure', usual: 'measure', elevation: 'measure' },
  'basis-air-assumed-sea-level': {},
  'basis-air-at-elevation': { elevation: 'measure', air: 'measure' },
  'barometer-impossible': {
    reading: 'measure',
    least: 'measure',
    most: 'measure',
    asks: ['unit', 'nothing'],
    meant: 'text',
  },
  'elevation-beyond-atmosphere': {
    elevation: 'measure',
    least: 'measure',
    most: 'measure',
    asks: ['feet', 'nothing'],
    typed: 'number',
  },
});
