import { opensCircuit } from './circuit-work.js';
import type { KnownLevel } from './known-level.js';
import { levelRead } from './level-read.js';
import type { WatchContext } from '../rules/rule.js';
import type { CoolantFact } from '../facts/types.js';
import { MS_PER_DAY, type UsagePoint } from '../facts/usage-span.js';

export interface CoolantBalance {
  known: { belowMarkL: number; point: UsagePoint; isFill: boolean } | null;
  /** Everything added since the known level, in L. */
  addedL: number;
  fill: { ms: number; isSettled: boolean } | null;
}

export const EMPTY_BALANCE: CoolantBalance = { known: null, addedL: 0, fill: null };

export interface LaidUpSpan {
  fromMs: number;
  toMs: number;
}

/**
 * Days between two instants, without those on which the vehicle was laid up.
 *
 * @example runningDays(0, 10 * 86_400_000, [{ fromMs: 0, toMs: 4 * 86_400_000 }]) // 6
 */
export function runningDays(fromMs: number, toMs: number, laidUp: readonly LaidUpSpan[]): number {
  let restedMs = 0;
  for (const span of laidUp)
    restedMs += Math.max(0, Math.min(toMs, span.toMs) - Math.max(fromMs, span.fromMs));
  return (toMs - fromMs - restedMs) / MS_PER_DAY;
}

/** What comes of one fact. */
interface Taken {
  balance: CoolantBalance;
  level: KnownLevel | null;
  lostAtLeastL: number | null;
  /** Since when that much has been lost at least. */
  lostSince: UsagePoint | null;
  settlingL: number;
}

/**
 * Takes one fact into the coolant balance: lost = missing now + added since − missing then (conservation of volume).
 *
 * Up to `settlingShare` of capacity that goes missing before the first known level after a fill is trapped air coming out, not loss. A job that
 * opens the circuit ends what was known. A level told by its marks alone makes none known: it says
 * what is missing at least,
 * and so what was lost at least.
 *
 * @returns the balance after the fact, the level it makes known, the least that has been lost since
 * the last known level with the
 * point of that level, and the settling part of a top-up, in L and ms.
 */
export function takeIntoBalance(
  balance: CoolantBalance,
  fact: CoolantFact,
  point: UsagePoint,
  laidUp: readonly LaidUpSpan[],
  context: WatchContext,
): Taken {
  const unchanged = { balance, level: null, lostAtLeastL: null, lostSince: null, settlingL: 0 };
  if (fact.kind === 'job')
    return opensCircuit(fact) ? { ...unchanged, balance: { ...balance, known: null, addedL: 0 } } : unchanged;
  if (fact.kind === 'fill') {
    const filled = {
      known: { belowMarkL: 0, point, isFill: true },
      addedL: 0,
      fill: { ms: point.ms, isSettled: false },
    };
    return { ...unchanged, balance: filled };
  }
  const read = fact.kind === 'level-check' ? levelRead(fact, context.minToMaxL) : null;
  const makesKnown = read === null ? fact.kind === 'top-up' && fact.toMark : read.exactL !== null;
  if (fact.kind !== 'top-up' && (read === null || read.leastL === null)) return unchanged;

  const poured = fact.kind === 'top-up' ? fact.addedL : 0;
  const missing = read?.exactL ?? read?.leastL ?? 0;
  const allowanceL = context.settings.settlingShare * context.capacityL;
  const isRecheck =
    fact.kind === 'top-up' &&
    balance.fill !== null &&
    !balance.fill.isSettled &&
    runningDays(balance.fill.ms, point.ms, laidUp) <= context.settings.settlingDays;
  const settlingL = isRecheck ? Math.min(poured, allowanceL) : 0;
  const fill =
    fact.kind === 'top-up' && balance.fill !== null ? { ...balance.fill, isSettled: true } : balance.fill;

  const addedL = balance.addedL + poured;
  const { known } = balance;
  let lostL = known === null ? null : missing + addedL - known.belowMarkL;
  if (lostL !== null && known?.isFill) lostL -= Math.min(Math.max(lostL, 0), allowanceL);
  const lostSince = known?.point ?? null;
  if (!makesKnown)
    return { balance: { known, addedL, fill }, level: null, lostAtLeastL: lostL, lostSince, settlingL };

  const level: KnownLevel = {
    factId: fact.id,
    factKind: fact.kind,
    at: fact.at,
    point,
    belowMarkL: missing,
    isByMarks: fact.kind === 'level-check' && fact.belowMarkL === null,
    lostL,
    previousMs: lostSince?.ms ?? null,
  };
  return {
    balance: { known: { belowMarkL: missing, point, isFill: false }, addedL: 0, fill },
    level,
    lostAtLeastL: lostL,
    lostSince,
    settlingL,
  };
}
