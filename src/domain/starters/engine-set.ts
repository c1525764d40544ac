import { cautionsFor } from '../cautions/cautions.js';
import { message } from './messages.js';
import type { StarterSet } from './starter-set.js';
import { engineValues } from './values.js';

/** A set for a vehicle with one engine and its circuit. */
export function engineSet(
  code: StarterSet['code'],
  engine: Parameters<typeof engineValues>[0],
  intervals: StarterSet['intervals'],
): StarterSet {
  return {
    code,
    circuits: [{ circuit: 'engine', values: engineValues(engine) }],
    hoses: ['upper', 'lower', 'heater'],
    intervals,
    leftOut: [
      message('starter-left-torques'),
      message('starter-left-belts'),
      message('starter-left-temperatures'),
    ],
    cautions: [...cautionsFor('pressure-test').slice(0, -1), ...cautionsFor('planning').slice(1)],
  };
}
