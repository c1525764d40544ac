import { cautionsFor } from '../../cautions/cautions.js';
import { every } from '../intervals.js';
import { message } from '../messages.js';
import type { StarterSet } from '../starter-set.js';
import { electricValues } from '../values.js';

const ELECTRIC = ['battery', 'power-electronics'] as const;
const LOOK = message('starter-why-electric-look');

/**
 * Nothing here opens a circuit: when to replace the coolant, how to bleed it and how much it may
 * conduct is for the vehicle maker to say. All of it is common practice.
 */
export const batteryElectric: StarterSet = {
  code: 'battery-electric',
  circuits: [
    { circuit: 'battery', values: electricValues(16) },
    { circuit: 'power-electronics', values: electricValues(8) },
  ],
  hoses: [],
  intervals: ELECTRIC.flatMap((circuit) => [
    every('coolant', 'inspect', { months: 6 }, { months: 3 }, LOOK, circuit),
    every('coolant', 'test', { months: 12 }, null, message('starter-why-conductivity'), circuit),
    every('electric-coolant-pump', 'inspect', { months: 12 }, null, LOOK, circuit),
  ]),
  leftOut: [message('starter-left-electric'), message('starter-left-torques')],
  cautions: [...cautionsFor('high-voltage-coolant').slice(0, -1), ...cautionsFor('planning').slice(1)],
};
