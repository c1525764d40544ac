/**
 * The safety cautions, by the kind of work they belong to. Every list ends by deferring to the
 * vehicle maker, to local rules and to qualified people: nothing computed here replaces them.
 */
const HOT_SYSTEM =
  'Never open a hot system: engine off, stood until the upper hose is cool to the hand; cap eased to its first stop under a rag.';
const SECURED = 'Before hands go in: key out, brake on, wheels chocked, articulation locked.';
const COLD_INTO_HOT = 'Never add cold coolant to a hot engine.';
const POISON =
  'Coolant is poisonous to people and animals: catch it, keep it from drains, and dispose of it by local rules.';
const PROTECTION = 'Wear eye and hand protection.';
const STANDS = 'Support a raised vehicle on stands before working under it.';
const MOVING_PARTS = 'Keep clear of belts and fans: an electric fan can start with the engine off.';
const VENTILATION =
  'Never run an engine indoors without a hose that leads the exhaust outside: exhaust gas kills.';
const TIMING =
  'Timing belt: set the timing marks before it comes off. A pump that it drives is renewed with it.';
const CAP_RATING = "Never exceed the cap's rating when pressure testing.";
const MAKER =
  "Torque values, procedures and coolant types come from the vehicle maker's service information; have the work done by qualified or licensed people where local rules ask for it.";
const INTERVALS =
  "Intervals come from the vehicle maker's service information, and the harder of two duties is the safer to plan by.";
const ESTIMATE = 'A projected date is an estimate: a leak, a warning lamp or a noise does not wait for it.';

export const CAUTIONS = {
  'cooling-system': [HOT_SYSTEM, SECURED, POISON, PROTECTION, MAKER],
  'vacuum-test': [HOT_SYSTEM, SECURED, PROTECTION, MOVING_PARTS, MAKER],
  'pressure-test': [HOT_SYSTEM, SECURED, PROTECTION, MOVING_PARTS, CAP_RATING, MAKER],
  'coolant-sample': [HOT_SYSTEM, POISON, PROTECTION, MAKER],
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
} as const satisfies Record<string, readonly string[]>;

export type KindOfWork = keyof typeof CAUTIONS;

/** The cautions of a kind of work, in the order to read them. @example cautionsFor('fastening').length // 3 */
export function cautionsFor(work: KindOfWork): string[] {
  return [...CAUTIONS[work]];
}
