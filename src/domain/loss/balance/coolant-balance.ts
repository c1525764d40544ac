import { MS_PER_DAY } from '../../calendar/zone.js';
import type { CoolantFact } from '../facts/types.js';
import type { UsagePoint } from '../facts/usage-span.js';
import { losesKnownLevel } from './circuit-work.js';
import type { KnownLevel } from './known-level.js';
import { levelRead } from './level-read.js';
import type { WatchContext } from './watch-context.js';

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
function runningDays(fromMs: number, toMs: number, laidUp: readonly LaidUpSpan[]): number {
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
 * Takes one fact into the coolant balance: lost = missing now + added since − missing then
 * (conservation of volume).
 *
 * Up to `settlingShare` of capacity that goes missing before the first known level after a fill
 * is trapped air coming out, not loss. A job that opens the circuit, or may have let
 * coolant out without, ends what was known. A level told by its marks alone makes none known: it
 * says what is missing at least, and so what was lost at least.
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
    return losesKnownLevel(fact)
      ? { ...unchanged, balance: { ...balance, known: null, addedL: 0 } }
      : unchanged;
  if (fact.kind === 'fill') return { ...unchanged, balance: filledAt(point) };
  const told = toldBy(fact, context.minToMaxL);
  if (told === null) return unchanged;

  const allowanceL = context.settings.settlingShare * context.capacityL;
  const isTopUp = fact.kind === 'top-up';
  const settlingL =
    isTopUp && isSettling(balance, point, laidUp, context) ? Math.min(told.pouredL, allowanceL) : 0;
  const fill = isTopUp && balance.fill !== null ? { ...balance.fill, isSettled: true } : balance.fill;
  const { known } = balance;
  const addedL = balance.addedL + told.pouredL;
  const lostL = known === null ? null : lostSince(known, told.missingL + addedL, allowanceL);
  const lost = { lostAtLeastL: lostL, lostSince: known?.point ?? null, settlingL };
  if (!told.isKnown) return { balance: { known, addedL, fill }, level: null, ...lost };
  return {
    balance: { known: { belowMarkL: told.missingL, point, isFill: false }, addedL: 0, fill },
    level: {
      factId: fact.id,
      factKind: fact.kind,
      at: fact.at,
      point,
      belowMarkL: told.missingL,
      isByMarks: fact.kind === 'level-check' && fact.belowMarkL === null,
      lostL,
      previousMs: known?.point.ms ?? null,
    },
    ...lost,
  };
}

function filledAt(point: UsagePoint): CoolantBalance {
  return {
    known: { belowMarkL: 0, point, isFill: true },
    addedL: 0,
    fill: { ms: point.ms, isSettled: false },
  };
}

/** What a fact says about the level. */
interface Told {
  pouredL: number;
  /** Missing to the mark afterwards; a least amount if the level is not known. */
  missingL: number;
  isKnown: boolean;
}

function toldBy(fact: CoolantFact, minToMaxL: number | null): Told | null {
  if (fact.kind === 'top-up') return { pouredL: fact.addedL, missingL: 0, isKnown: fact.toMark };
  if (fact.kind !== 'level-check') return null;
  const { exactL, leastL } = levelRead(fact, minToMaxL);
  if (leastL === null) return null;
  return { pouredL: 0, missingL: exactL ?? leastL, isKnown: exactL !== null };
}

/** Whether a top-up is the first since a fill, and soon enough after it. */
function isSettling(
  { fill }: CoolantBalance,
  point: UsagePoint,
  laidUp: readonly LaidUpSpan[],
  { settings }: WatchContext,
): boolean {
  return fill !== null && !fill.isSettled && runningDays(fill.ms, point.ms, laidUp) <= settings.settlingDays;
}

/** @param missingAndAddedL missing now, and added since the known level. @returns L */
function lostSince(
  known: NonNullable<CoolantBalance['known']>,
  missingAndAddedL: number,
  allowanceL: number,
): number {
  const lostL = missingAndAddedL - known.belowMarkL;
  return known.isFill ? lostL - Math.min(Math.max(lostL, 0), allowanceL) : lostL;
}
