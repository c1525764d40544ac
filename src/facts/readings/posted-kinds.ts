import { READING_KINDS, type Reading, type ReadingKind } from '../../domain/readings/kinds.js';
import { type Pointers, pointersOf } from '../../platform/problems/range-problem.js';
import { beltCheck } from './kinds/belt-check/belt-check.kind.js';
import { beltTension } from './kinds/belt-tension/belt-tension.kind.js';
import { capTest } from './kinds/cap-test/cap-test.kind.js';
import { combustionGasTest } from './kinds/combustion-gas-test/combustion-gas-test.kind.js';
import { conductivity } from './kinds/conductivity/conductivity.kind.js';
import { coolantCondition } from './kinds/coolant-condition/coolant-condition.kind.js';
import { fill } from './kinds/fill/fill.kind.js';
import { freezePoint } from './kinds/freeze-point/freeze-point.kind.js';
import { holdTest } from './kinds/hold-test/hold-test.kind.js';
import { levelCheck } from './kinds/level-check/level-check.kind.js';
import type { PostedKind } from './kinds/posted-kind.js';
import { roadTest } from './kinds/road-test/road-test.kind.js';
import { tensionerCheck } from './kinds/tensioner-check/tensioner-check.kind.js';
import { topUp } from './kinds/top-up/top-up.kind.js';
import { torqueSet } from './kinds/torque-set/torque-set.kind.js';
import { warmUpCheck } from './kinds/warm-up-check/warm-up-check.kind.js';

/**
 * How to read each kind of reading. If a kind that the rules know is missing here, the code does
 * not compile.
 */
export const POSTED_KINDS: {
  readonly [K in ReadingKind]: PostedKind<{ kind: K }, Extract<Reading, { kind: K }>>;
} = {
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
};

/** The input class of each kind, in the order of `READING_KINDS`. */
export const READING_INPUTS = READING_KINDS.map((kind) => POSTED_KINDS[kind].input);

/** How to read a kind of reading. Null when there is no such kind. */
export function postedKindOf(kind: unknown): PostedKind<{ kind: string }, Reading> | null {
  return typeof kind === 'string' && Object.hasOwn(POSTED_KINDS, kind)
    ? POSTED_KINDS[kind as ReadingKind]
    : null;
}

/**
 * The pointer of each field of a posted reading that the domain may name in an error.
 *
 * @param parent the pointer of the reading
 */
export function readingPointers(kind: ReadingKind, typed: object, parent: string): Pointers {
  const named = Object.entries(POSTED_KINDS[kind].fields ?? {});
  return {
    ...Object.fromEntries(named.map(([name, pointer]) => [name, `${parent}${pointer}`])),
    ...pointersOf(typed, parent),
  };
}
