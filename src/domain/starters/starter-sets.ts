import { batteryElectric } from './sets/battery-electric.js';
import { bus } from './sets/bus.js';
import { dieselHeavy } from './sets/diesel-heavy.js';
import { grader } from './sets/grader.js';
import { petrolLightTruck } from './sets/petrol-light-truck.js';
import { sweeper } from './sets/sweeper.js';
import type { StarterSetCode } from './messages.js';
import type { StarterSet } from './starter-set.js';

/** The ready-made beginnings, in the order in which they are listed. */
export const STARTERS: readonly StarterSet[] = [
  petrolLightTruck,
  dieselHeavy,
  bus,
  grader,
  sweeper,
  batteryElectric,
];

/** @example starterOf('bus').circuits.length // 1 */
export function starterOf(code: StarterSetCode): StarterSet {
  return STARTERS.find((set) => set.code === code) as StarterSet;
}
