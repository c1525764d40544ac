import type { Message } from '../message.js';
import { message } from './messages.js';

/**
 * The safety cautions, by the kind of work they belong to. Every list ends by deferring to the
 * vehicle maker, to local rules and to qualified people: nothing computed here replaces them.
 */
const HOT_SYSTEM = message('caution-hot-system');
const SECURED = message('caution-secured');
const COLD_INTO_HOT = message('caution-cold-into-hot');
const POISON = message('caution-poison');
const PROTECTION = message('caution-protection');
const STANDS = message('caution-stands');
const MOVING_PARTS = message('caution-moving-parts');
const VENTILATION = message('caution-exhaust');
const HIGH_VOLTAGE = message('caution-high-voltage');
const TIMING = message('caution-timing-belt');
const CAP_RATING = message('caution-cap-rating');
const STOP_DRIVING = message('caution-stop-driving');
const HOT_CAP = message('caution-hot-cap');
const ORANGE_CABLES = message('caution-orange-cables');
const DRIVERS_MANUAL = message('caution-drivers-manual');
const MAKER = message('caution-maker');
const INTERVALS = message('caution-intervals');
const ESTIMATE = message('caution-estimate');

export const CAUTIONS = {
  'cooling-system': [HOT_SYSTEM, SECURED, POISON, PROTECTION, MAKER],
  'vacuum-test': [HOT_SYSTEM, SECURED, PROTECTION, MOVING_PARTS, MAKER],
  'pressure-test': [HOT_SYSTEM, SECURED, PROTECTION, MOVING_PARTS, CAP_RATING, MAKER],
  'coolant-sample': [HOT_SYSTEM, POISON, PROTECTION, MAKER],
  'high-voltage-coolant': [HIGH_VOLTAGE, HOT_SYSTEM, POISON, PROTECTION, MAKER],
  filling: [HOT_SYSTEM, COLD_INTO_HOT, POISON, PROTECTION, MAKER],
  'running-engine': [HOT_SYSTEM, PROTECTION, MOVING_PARTS, VENTILATION, MAKER],
  fastening: [SECURED, PROTECTION, STANDS, MAKER],
  'belt-drive': [SECURED, PROTECTION, STANDS, MOVING_PARTS, MAKER],
  'timing-drive': [SECURED, TIMING, MAKER],
  'combustion-gas-test': [HOT_SYSTEM, SECURED, POISON, PROTECTION, MOVING_PARTS, VENTILATION, MAKER],
  'leak-search': [
    HOT_SYSTEM,
    SECURED,
    POISON,
    PROTECTION,
    STANDS,
    MOVING_PARTS,
    VENTILATION,
    CAP_RATING,
    MAKER,
  ],
  'road-test': [HOT_SYSTEM, MAKER],
  planning: [ESTIMATE, INTERVALS, MAKER],
  // Everything that a job on the cooling system and its drives can meet, for a printed card.
  'whole-job': [
    HIGH_VOLTAGE,
    HOT_SYSTEM,
    SECURED,
    COLD_INTO_HOT,
    POISON,
    PROTECTION,
    STANDS,
    MOVING_PARTS,
    VENTILATION,
    CAP_RATING,
    TIMING,
    MAKER,
  ],
} as const satisfies Record<string, readonly Message[]>;

/** For anybody who stands beside a vehicle in trouble, and works on nothing. */
export const BESIDE_VEHICLE: readonly Message[] = [STOP_DRIVING, HOT_CAP, ORANGE_CABLES, DRIVERS_MANUAL];

export type KindOfWork = keyof typeof CAUTIONS;

/** The cautions of a kind of work, in the order to read them. @example cautionsFor('fastening').length // 3 */
export function cautionsFor(work: KindOfWork): Message[] {
  return [...CAUTIONS[work]];
}
