import { messages } from '../message.js';

/** The unit that a value is told with where it is refused; `none` for a number without one. */
const UNIT = [
  'none',
  'kPa',
  'L',
  'minutes',
  'N·m',
  '%',
  'mm',
  'rpm',
  'km',
  'Hz',
  'N',
  'kg/m',
  'µS/cm',
] as const;
export type UnitTold = (typeof UNIT)[number];

export const message = messages({
  'number-not-finite': { value: 'text' },
  'number-not-above-zero': { value: 'number', unit: UNIT },
  'number-below-zero': { value: 'number', unit: UNIT },
  'percent-outside-0-to-100': { value: 'number' },
  'temperature-outside-cooling-system': {
    temperature: 'measure',
    least: 'measure',
    most: 'measure',
    meant: ['fahrenheit', 'unknown'],
    typed: 'number',
  },
  'unit-of-another-dimension': {
    unit: 'text',
    dimension: 'message',
    wantedUnit: 'text',
    wantedDimension: 'message',
  },
  // Terms: what units measure.
  'dimension-length': {},
  'dimension-time-in-use': {},
  'dimension-pressure': {},
  'dimension-temperature': {},
  'dimension-volume': {},
  'dimension-torque': {},
  'dimension-force': {},
  'dimension-ratio': {},
  'dimension-refractive-index': {},
  'dimension-brix': {},
});
