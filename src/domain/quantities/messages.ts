import { messages } from '../message.js';
import type { Dimension } from './units.js';

/** The unit that a value is told with where it is refused; `none` for a number without one. */
const UNIT = ['none', 'kPa', 'L', 'minutes', 'N·m', '%', 'mm', 'rpm', 'km'] as const;
export type UnitTold = (typeof UNIT)[number];

const DIMENSION = [
  'length',
  'time-in-use',
  'pressure',
  'temperature',
  'volume',
  'torque',
  'ratio',
  'refractive-index',
  'brix',
] as const satisfies readonly Dimension[];

export const message = messages({
  'number-not-finite': { value: 'text' },
  'number-not-above-zero': { value: 'number', unit: UNIT },
  'number-below-zero': { value: 'number', unit: UNIT },
  'percent-outside-0-to-100': { value: 'number' },
  'temperature-outside-cooling-system': {
    value: 'number',
    least: 'number',
    most: 'number',
    meant: ['fahrenheit', 'unknown'],
    meantC: 'number',
  },
  'unit-of-another-dimension': {
    unit: 'text',
    dimension: DIMENSION,
    wantedUnit: 'text',
    wantedDimension: DIMENSION,
  },
});
