import type { KindOfReading, SafetyKind } from './contract/kind-of-reading.js';
import { beltCheck } from './kinds/belt-check.js';
import { beltTension } from './kinds/belt-tension.js';
import { capTest } from './kinds/cap-test.js';
import { combustionGasTest } from './kinds/combustion-gas-test.js';
import { conductivity } from './kinds/conductivity.js';
import { coolantCondition } from './kinds/coolant-condition.js';
import { fill } from './kinds/fill.js';
import { freezePoint } from './kinds/freeze-point.js';
import { holdTest } from './kinds/hold-test.js';
import { levelCheck } from './kinds/level-check.js';
import { roadTest } from './kinds/road-test.js';
import { tensionerCheck } from './kinds/tensioner-check.js';
import { topUp } from './kinds/top-up.js';
import { torqueSet } from './kinds/torque-set.js';
import { warmUpCheck } from './kinds/warm-up-check.js';
import type { SafetyWords } from './contract/safety-words.js';

/** All kinds of readings by name, in the order in which they are listed. */
const KINDS = {
  'hold-test': holdTest,
  'freeze-point': freezePoint,
  'torque-set': torqueSet,
  fill,
  'warm-up-check': warmUpCheck,
  'belt-check': beltCheck,
  'belt-tension': beltTension,
  'tensioner-check': tensionerCheck,
  'level-check': levelCheck,
  'top-up': topUp,
  'coolant-condition': coolantCondition,
  conductivity,
  'cap-test': capTest,
  'combustion-gas-test': combustionGasTest,
  'road-test': roadTest,
} as const;

type Kinds = typeof KINDS;
type ReadingOf<K> = K extends KindOfReading<infer R> ? R : never;
type FindingOf<K> = K extends KindOfReading<never, infer F> ? F : never;
type UnsafeIn<K extends keyof Kinds> = K extends unknown
  ? Kinds[K] extends SafetyKind<never>
    ? K
    : never
  : never;

/**
 * A measurement taken at a job or by itself, in canonical units; `unit` is what was typed, for
 * wording.
 */
export type Reading = ReadingOf<Kinds[keyof Kinds]>;

export type ReadingKind = Reading['kind'];

export const READING_KINDS = Object.keys(KINDS) as readonly ReadingKind[];

/** What a reading can find that leaves something to be done. */
export type FindingOfReading = FindingOf<Kinds[keyof Kinds]>;

/** The kinds about the belt drive and about fasteners, which belong to no circuit. */
const IN_NO_CIRCUIT: ReadonlySet<string> = new Set([
  'belt-check',
  'belt-tension',
  'tensioner-check',
  'torque-set',
] satisfies ReadingKind[]);

/** Whether readings of a kind are about a coolant circuit. @example hasCircuit('torque-set') // false */
export const hasCircuit = (kind: string): boolean => !IN_NO_CIRCUIT.has(kind);

/** The kinds of reading whose failure makes a vehicle unsafe to drive. */
export type SafetyReadingKind = UnsafeIn<keyof Kinds>;

/**
 * What the kind of a reading means. It is only ever asked about readings of its own kind, which the
 * type cannot say.
 *
 * @example kindOf(reading).findings(reading, judgement)
 */
export function kindOf({ kind }: Pick<Reading, 'kind'>): KindOfReading<Reading> {
  return KINDS[kind];
}

/**
 * The wording for a failed reading of a kind that makes a vehicle unsafe; null for other kinds.
 *
 * @param read a reading as it was typed or stored, of any kind
 */
export function safetyWordsOf({ kind }: { kind: string }): SafetyWords | null {
  return Object.hasOwn(KINDS, kind) ? (kindOf({ kind: kind as ReadingKind }).unsafe ?? null) : null;
}
