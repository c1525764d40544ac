import type { Message } from '../../message.js';
import { CAUTIONS, type KindOfWork } from '../../cautions/cautions.js';
import { openingBy, type Opening, openingOf, shareComingOut } from '../../intervals/circuit-opening.js';
import type { Action, Component, WorkLine } from '../../intervals/types.js';

/** Parts that the accessory belt comes off for, or that decide how it runs; common practice. */
export const AT_THE_BELT: ReadonlySet<Component> = new Set([
  'drive-belt',
  'tensioner',
  'idler',
  'water-pump',
  'fan-drive',
  'fan-clutch',
  'timing-belt',
] satisfies Component[]);

const TAKES_APART: ReadonlySet<Action> = new Set(['replace', 'clean', 'adjust'] satisfies Action[]);

/**
 * Held by a clamp, a thread of its own or a spring: no bolts are undone for them. Common practice.
 */
const WITHOUT_BOLTS: ReadonlySet<Component> = new Set([
  'radiator-cap',
  'upper-hose',
  'lower-hose',
  'heater-hose',
  'bypass-hose',
  'hose-clamp',
  'coolant-filter',
] satisfies Component[]);

/** Parts whose leak lets combustion gas into the coolant; common practice. */
const TESTED_FOR_GAS: ReadonlySet<Component> = new Set([
  'head-gasket',
  'injector-sleeve',
  'egr-cooler',
] satisfies Component[]);

/** What the lines of a job need: the parts of the card. */
export interface CardWork {
  /** How much of the coolant comes out. */
  opens: Opening;
  /** The share of what drains that comes out, 0 to 1. */
  comesOutShare: number;
  /** Coolant comes out, some or all, so that it is filled, tested, warmed up and rechecked. */
  opensCircuit: boolean;
  /** The coolant filter is changed, between its shut-offs. */
  filter: boolean;
  /** Water is run through, so that what stays in block and heater is water. */
  flushes: boolean;
  /** The strength is brought to the target without emptying the system. */
  adjustsStrength: boolean;
  /**
   * Additive is poured in. This follows from the latest reading (`withDose`), not from the lines.
   */
  doses: boolean;
  /** A hold test is part of the job. */
  holdTest: boolean;
  /** The strength is read. */
  readsStrength: boolean;
  /** The level is read cold, and brought to the mark. */
  readsLevel: boolean;
  /** The accessory belt is looked at, taken off or put on. */
  belt: boolean;
  /** A part is taken off, put on or adjusted. */
  takesApart: boolean;
  /** Of the parts taken apart some are held by bolts. */
  bolts: boolean;
  /** The timing belt comes off, or may drive what comes off. */
  timing: boolean;
  /** Combustion gas is looked for in the coolant. */
  testsForGas: boolean;
  /**
   * A part that may have let combustion gas in is renewed: whether it did is tested after the
   * warm-up.
   */
  provesNoGas: boolean;
  /**
   * The cap or a joint of the circuit is opened or tightened, or the circuit tested, so that it has
   * to be cool.
   */
  needsCool: boolean;
  /** The engine is run and the vehicle driven before it is let go. */
  runs: boolean;
}

/**
 * What a job's lines come to.
 *
 * Source: common practice, no published source: which parts the coolant is drained for, and which
 * the belt comes off for.
 *
 * @param lines what is to be done
 * @example workOf([{ component: 'water-pump', action: 'replace', item: null }]).opensCircuit // true
 */
export function workOf(lines: readonly WorkLine[]): CardWork {
  const coolant = (...actions: Action[]): boolean =>
    lines.some((line) => line.component === 'coolant' && actions.includes(line.action));
  const parts = lines.filter((line) => line.component !== 'coolant');
  const flushes = lines.some((line) => line.action === 'flush');
  const comesOutShare = Math.max(0, ...lines.map(shareComingOut));
  const opens = openingBy(comesOutShare);
  const opensCircuit = opens !== 'none';
  const filter = parts.some((line) => line.component === 'coolant-filter' && line.action === 'replace');
  const takesApart = parts.some(isTakenApart);
  const holdTest = opensCircuit || coolant('test') || parts.some(isTestOfCircuit);
  const touchesCoolant = lines.some(({ component }) => component === 'coolant');
  return {
    opens,
    comesOutShare,
    opensCircuit,
    filter,
    flushes,
    adjustsStrength: coolant('adjust') && opens !== 'all',
    doses: false,
    holdTest,
    readsStrength: opensCircuit || coolant('test', 'adjust', 'inspect'),
    readsLevel: opensCircuit || filter || coolant('recheck', 'inspect', 'adjust'),
    belt: lines.some(isAtBelt),
    takesApart,
    bolts: lines.filter(isTakenApart).some(hasBolts),
    timing: parts.some(
      ({ component, action }) =>
        action === 'replace' &&
        (component === 'timing-belt' || component === 'water-pump' || component === 'head-gasket'),
    ),
    testsForGas: parts.some((line) => isAboutGas(line, 'test')),
    provesNoGas: parts.some((line) => isAboutGas(line, 'replace')),
    needsCool: opensCircuit || holdTest || touchesCoolant || parts.some(isOnPressure),
    runs: takesApart || opensCircuit,
  };
}

/**
 * The lines that do something to a part, and not to the coolant.
 *
 * @example partLines([{ component: 'coolant', action: 'inspect', item: null }], 'inspect') // []
 */
export function partLines(lines: readonly WorkLine[], ...actions: Action[]): WorkLine[] {
  return lines.filter((line) => line.component !== 'coolant' && actions.includes(line.action));
}

/**
 * Whether a line takes a part off, puts one on or adjusts it. @example isTakenApart({ component:
 * 'idler', action: 'inspect', item: null }) // false
 */
export function isTakenApart({ component, action }: WorkLine): boolean {
  return component !== 'coolant' && TAKES_APART.has(action);
}

/**
 * Whether a line looks at the accessory belt, or takes it off. @example isAtBelt({ component:
 * 'idler', action: 'replace', item: null }) // true
 */
export function isAtBelt({ component, action }: WorkLine): boolean {
  return component === 'drive-belt' || (AT_THE_BELT.has(component) && TAKES_APART.has(action));
}

/** Whether a part is held by bolts. @example hasBolts({ component: 'radiator-cap' }) // false */
export function hasBolts({ component }: Pick<WorkLine, 'component'>): boolean {
  return !WITHOUT_BOLTS.has(component);
}

function isTestOfCircuit({ component, action }: WorkLine): boolean {
  return action === 'test' && openingOf(component) !== 'none';
}

function isAboutGas({ component, action }: WorkLine, wanted: Action): boolean {
  return action === wanted && TESTED_FOR_GAS.has(component);
}

/**
 * A cap is taken off even to be looked at; other joints are hot and under pressure when they are
 * undone or tightened.
 */
function isOnPressure({ component, action }: WorkLine): boolean {
  if (component === 'radiator-cap') return true;
  if (action !== 'replace' && action !== 'adjust') return false;
  return component === 'hose-clamp' || component === 'coolant-filter' || openingOf(component) !== 'none';
}

/**
 * The cautions for a job, each once, in the order to read them.
 *
 * @param holdMethods of the hold tests that are part of it
 * @example cautionsOfJob(workOf([{ component: 'drive-belt', action: 'inspect', item: null }]), []).length // 4
 */
export function cautionsOfJob(
  work: CardWork,
  holdMethods: readonly ('vacuum' | 'pressure')[],
  isElectric = false,
): Message[] {
  const kinds: KindOfWork[] = isElectric ? ['high-voltage-coolant'] : [];
  if (work.opensCircuit || work.adjustsStrength || work.doses || work.filter)
    kinds.push('cooling-system', 'filling');
  if (work.readsStrength || work.readsLevel) kinds.push('coolant-sample');
  for (const method of holdMethods) kinds.push(`${method}-test`);
  if (work.takesApart) kinds.push('fastening');
  if (work.belt) kinds.push('belt-drive');
  if (work.timing) kinds.push('timing-drive');
  if (work.testsForGas || work.provesNoGas) kinds.push('combustion-gas-test');
  if (work.runs || work.adjustsStrength || work.doses) kinds.push('running-engine');
  if (work.runs) kinds.push('road-test');
  // Work of an unknown kind gets every caution.
  if (kinds.length === 0) kinds.push('whole-job');
  const wanted = new Set(kinds.flatMap((kind) => CAUTIONS[kind].map(({ code }) => code)));
  return CAUTIONS['whole-job'].filter(({ code }) => wanted.has(code));
}
