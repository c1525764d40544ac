import { CAUTIONS, type KindOfWork } from '../cautions/cautions.js';
import type { Action, Component, WorkLine } from '../intervals/types.js';

/** Parts that coolant must be drained for before they come off; common practice. A cap or a clamp needs no draining. */
const DRAINED_FOR: ReadonlySet<Component> = new Set([
  'water-pump',
  'thermostat',
  'radiator',
  'upper-hose',
  'lower-hose',
  'heater-hose',
  'bypass-hose',
  'reservoir',
  'heater-core',
  'coolant-filter',
  'oil-cooler',
  'egr-cooler',
  'head-gasket',
  'injector-sleeve',
  'temperature-sensor',
] satisfies Component[]);

/** Parts that the accessory belt comes off for, or that decide how it runs; common practice. */
const AT_THE_BELT: ReadonlySet<Component> = new Set([
  'drive-belt',
  'tensioner',
  'idler',
  'water-pump',
  'fan-drive',
] satisfies Component[]);

const TAKES_APART: ReadonlySet<Action> = new Set(['replace', 'clean', 'adjust'] satisfies Action[]);

/** What the lines of a job come to: which parts of the card it needs. */
export interface CardWork {
  /** Coolant comes out, so it is drained, held, filled, warmed up and rechecked. */
  opensCircuit: boolean;
  /** Water is run through, so that what stays in block and heater is water. */
  flushes: boolean;
  /** The strength is brought to the target without emptying the system. */
  adjustsStrength: boolean;
  /** A hold test is part of it. */
  holdTest: boolean;
  /** The strength is read. */
  readsStrength: boolean;
  /** The level is read cold, and brought to the mark. */
  readsLevel: boolean;
  /** The accessory belt is looked at, taken off or put on. */
  belt: boolean;
  /** Fasteners are tightened. */
  fastens: boolean;
  /** The engine is run and the vehicle driven before it is let go. */
  runs: boolean;
}

/**
 * What a job's lines come to.
 *
 * Source: common practice, no published source: which parts the coolant is drained for, and which the belt comes off for.
 *
 * @param lines what is to be done
 * @example workOf([{ component: 'water-pump', action: 'replace', item: null }]).opensCircuit // true
 */
export function workOf(lines: readonly WorkLine[]): CardWork {
  const coolant = (...actions: Action[]): boolean =>
    lines.some((line) => line.component === 'coolant' && actions.includes(line.action));
  const parts = lines.filter((line) => line.component !== 'coolant');
  const flushes = coolant('flush') || parts.some((line) => line.action === 'flush');
  const opensCircuit =
    flushes ||
    coolant('replace', 'clean') ||
    parts.some(
      (line) => DRAINED_FOR.has(line.component) && (line.action === 'replace' || line.action === 'clean'),
    );
  const takesApart = parts.some((line) => TAKES_APART.has(line.action));
  return {
    opensCircuit,
    flushes,
    adjustsStrength: coolant('adjust') && !opensCircuit,
    holdTest: opensCircuit || coolant('test') || parts.some(isTestOfCircuit),
    readsStrength: opensCircuit || coolant('test', 'adjust', 'inspect'),
    readsLevel: opensCircuit || coolant('recheck', 'inspect', 'adjust'),
    belt: lines.some(isAtBelt),
    fastens: takesApart || opensCircuit,
    runs: takesApart || opensCircuit,
  };
}

/** Whether a line looks at the accessory belt, or takes it off. @example isAtBelt({ component: 'idler', action: 'replace', item: null }) // true */
export function isAtBelt({ component, action }: WorkLine): boolean {
  return component === 'drive-belt' || (AT_THE_BELT.has(component) && TAKES_APART.has(action));
}

function isTestOfCircuit({ component, action }: WorkLine): boolean {
  return action === 'test' && DRAINED_FOR.has(component);
}

/**
 * The cautions for a job, each once, in the order to read them.
 *
 * @param holdMethods of the hold tests that are part of it
 * @example cautionsOfJob(workOf([{ component: 'drive-belt', action: 'inspect', item: null }]), []).length // 4
 */
export function cautionsOfJob(work: CardWork, holdMethods: readonly ('vacuum' | 'pressure')[]): string[] {
  const kinds: KindOfWork[] = [];
  if (work.opensCircuit || work.adjustsStrength) kinds.push('cooling-system', 'filling');
  if (work.readsStrength || work.readsLevel) kinds.push('coolant-sample');
  for (const method of holdMethods) kinds.push(`${method}-test`);
  if (work.fastens) kinds.push('fastening');
  if (work.belt) kinds.push('belt-drive');
  if (work.runs) kinds.push('running-engine', 'road-test');
  // Work of no kind that is told apart can meet anything.
  if (kinds.length === 0) kinds.push('whole-job');
  const wanted = new Set<string>(kinds.flatMap((kind) => [...CAUTIONS[kind]]));
  return CAUTIONS['whole-job'].filter((caution) => wanted.has(caution));
}
