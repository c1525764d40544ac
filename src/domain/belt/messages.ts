import { messages } from '../message.js';

export const message = messages({
  // Terms: what is looked at on a belt, as parts of a list.
  'belt-ribs-seated': {},
  'belt-alignment': {},
  'belt-wear': {},
  'belt-good': {},
  'belt-ribs-not-seated': {},
  'belt-ribs-not-seated-on': { pulleys: 'list' },
  'belt-out-of-line': { angle: 'number', offset: 'measure', span: 'measure' },
  'belt-worn': {},
  'belt-tensioner-out-of-range': {},
  'belt-contaminated': {},
  'belt-driven-too-fast': { slip: 'number' },
  'belt-nothing-checked': {},
  'belt-not-checked': { parts: 'list' },
  'belt-alignment-angle': { isInLine: ['yes', 'no'], angle: 'number' },
  'belt-slip': { slip: 'number' },
  'belt-slip-negative': {},
  'belt-designation-kept': { designation: 'text' },
  'belt-designation-ribs': { designation: 'text', ribs: 'number' },
  'belt-designation-length': { designation: 'text', length: 'number' },
  'belt-slip-above-100': { slip: 'number' },
  'basis-belt-profile': { pitch: 'number' },
  'basis-belt-alignment': {},
  'basis-belt-slip': {},
});
