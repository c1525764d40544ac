import { messages } from '../message.js';

const METHOD = ['refractometer', 'hydrometer', 'strip', 'index', 'brix', 'percent'] as const;
/** What is needed: the lowest temperature less a margin. */
const NEED = { needed: 'measure', lowest: 'measure', margin: 'change' } as const;
const PROTECTION = { read: 'measure', uncertainty: 'change', ...NEED } as const;
/** A strength with what its uncertainty leaves open; `strongest` counts where that end is known. */
const BAND = { strength: 'number', weakest: 'number', end: ['known', 'open'], strongest: 'number' } as const;

export const message = messages({
  'strength-read': { how: ['within', 'least', 'strength'], freezePoint: 'measure', strength: 'number' },
  'strength-not-known': {},
  'freeze-point-no-table': { by: ['brix', 'index'], base: 'message' },
  'freeze-point-instrument-off-zero': { shown: 'measure' },
  'freeze-point-mixed-bases': {},
  'freeze-point-other-scale': { scale: 'message', base: 'message' },
  'freeze-point-no-low-temperature': {},
  'freeze-point-beyond-table': { end: 'number' },
  'freeze-point-protects-too-little': PROTECTION,
  'freeze-point-at-table-end': { end: 'measure', ...NEED },
  'freeze-point-too-close': PROTECTION,
  'strength-too-weak': { strength: 'number', least: 'number' },
  'strength-close-to-least': { ...BAND, least: 'number' },
  'strength-close-to-most': { ...BAND, most: 'number' },
  'strength-too-strong': { known: ['yes', 'no'], strength: 'number', most: 'number' },
  'strength-beyond-table': { strength: 'number', most: 'number' },
  'basis-coolant-base-assumed': {},
  'basis-coolant-base-of-sheet': { base: 'message' },
  'basis-freeze-point-uncertainty': {
    method: METHOD,
    uncertainty: 'change',
    source: ['astm', 'practice'],
  },
  'basis-freeze-margin': { margin: 'change' },
  'basis-strength-limits': { least: 'number', most: 'number', source: ['sheet', 'astm'] },
});
