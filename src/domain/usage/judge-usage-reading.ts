import { MS_PER_DAY } from '../calendar/zone.js';
import { KM_PER_MILE, type CounterLimits } from './counter-limits.js';
import type { CounterCore, HeldReason, UsageSource } from './types.js';

/** One counter of one reading, ready to be judged. */
export interface CounterEntry {
  id: string;
  at: number;
  /** What the counter showed, in km or h. */
  raw: number;
  replaced: boolean;
  source: UsageSource;
  /** A manager accepted it, so it counts whatever its value. */
  forced: boolean;
}

export interface Judgement {
  /**
   * The lifetime value it is believed at; for a reading that does not fit, the one it would have
   * had.
   */
  life: number;
  fits: boolean;
  /** Why it does not fit; its message is made only where it is needed. */
  reason: HeldReason | null;
  /** State for judging the next reading. */
  next: CounterCore;
}

export const EMPTY_CORE: CounterCore = { head: null, base: 0, pace: null, lines: {}, aside: {} };

/**
 * Judges one reading of a counter against the history that came before it, and gives the history
 * with it.
 *
 * In this order. (1) The first reading sets the lifetime value; a replaced counter goes on from
 * the last one. (2) The reading is tried at its source's own offset, then at that of the counter
 * fitted: it fits when it is no more than `backSlack` below the last believed reading and no more
 * than `perDay` × days + `aheadSlack` above. (3) If it does not fit, like is compared with like:
 * where the last believed reading came from another source, and this source already had a reading
 * set aside, at least a day ago, from which this one has kept the same distance to the vehicle's
 * line (within a quarter of what was run, plus `offsetSlack`), the source runs at its own offset
 * and the reading is believed. So is a telematics device that disagrees with its own last reading:
 * it was replaced. The first reading of a device is believed as the dash's only if it is about what
 * the vehicle's pace predicts; else the device has its own offset from there on. Of two sources
 * that disagree the younger is shifted to the older, if the older goes on from its own last
 * reading. (4) Else it is held.
 *
 * Common practice throughout, no published source.
 *
 * @example judgeReading(ODOMETER_LIMITS, EMPTY_CORE, { id: 'a', at: 0, raw: 12, replaced: false, source: 'dash', forced: false }).life // 12
 */
export function judgeReading(limits: CounterLimits, core: CounterCore, entry: CounterEntry): Judgement {
  const { head } = core;
  if (head === null) return believe(core, entry, entry.raw + core.base);
  if (entry.replaced) {
    return believe(
      { ...core, base: head.life - entry.raw, lines: without(core.lines, entry.source) },
      entry,
      head.life,
    );
  }
  const line = core.lines[entry.source];
  const atBase = entry.raw + core.base;
  const atOwn = line ? entry.raw + line.life - line.raw : atBase;
  for (const life of atOwn === atBase ? [atOwn] : [atOwn, atBase]) {
    if (
      isPlausible(limits, head, entry.at, life) &&
      (entry.forced || !isLikelySlip(limits, core, entry, life))
    )
      return believe(
        core,
        entry,
        isStrangeDevice(limits, core, entry, life) ? expectedAt(core, entry.at) : life,
      );
  }
  const shifted = atOwnOffset(limits, core, entry);
  if (shifted) return shifted;
  const reason = reasonFor(limits, core, entry, atOwn);
  if (entry.forced) {
    // A device has its own offset, so a value that a manager accepted for it is not the figure on
    // the dash.
    const own = line === undefined && entry.source === 'telematics';
    return { ...believe(core, entry, own ? expectedAt(core, entry.at) : atOwn), fits: false, reason };
  }
  return { life: atOwn, fits: false, reason, next: setAside(limits, core, entry) };
}

function believe(core: CounterCore, entry: CounterEntry, life: number): Judgement {
  const { head } = core;
  const days = head ? (entry.at - head.at) / MS_PER_DAY : 0;
  const line = core.lines[entry.source];
  const next: CounterCore = {
    head: { at: entry.at, life, source: entry.source },
    base: core.base,
    pace: head && days >= 1 ? Math.max(0, (life - head.life) / days) : core.pace,
    lines: {
      ...core.lines,
      [entry.source]: { at: entry.at, raw: entry.raw, life, since: line?.since ?? entry.at },
    },
    aside: core.aside[entry.source] ? without(core.aside, entry.source) : core.aside,
  };
  return { life, fits: true, reason: null, next };
}

function isPlausible(
  limits: CounterLimits,
  from: { at: number; life: number },
  at: number,
  life: number,
): boolean {
  const ahead = life - from.life;
  return (
    ahead >= -limits.backSlack && ahead <= (limits.perDay * (at - from.at)) / MS_PER_DAY + limits.aheadSlack
  );
}

/**
 * Whether the first reading of a device is not what the counter on the dash should show by now: it
 * fits, as nearly every higher figure does, but lies further from the vehicle's own pace than one
 * offset may vary. The device then counts from there on at an offset of its own.
 */
function isStrangeDevice(
  limits: CounterLimits,
  core: CounterCore,
  entry: CounterEntry,
  life: number,
): boolean {
  if (entry.source !== 'telematics' || core.lines.telematics !== undefined) return false;
  if (core.pace === null || entry.forced) return false;
  const expected = expectedAt(core, entry.at);
  return Math.abs(life - expected) > 0.25 * Math.abs(expected - core.head!.life) + limits.offsetSlack;
}

/** The least that this vehicle can be said to run on an ordinary day at most. */
function ordinaryAhead(limits: CounterLimits, core: CounterCore, days: number): number {
  const perDay =
    core.pace === null
      ? limits.ordinaryPerDay
      : Math.min(limits.ordinaryPerDay, Math.max(3 * core.pace, limits.ordinaryPerDay / 10));
  return perDay * days + limits.ordinaryPerDay / 10;
}

function isOrdinary(limits: CounterLimits, core: CounterCore, at: number, life: number): boolean {
  const ahead = life - core.head!.life;
  return (
    ahead >= -limits.backSlack && ahead <= ordinaryAhead(limits, core, (at - core.head!.at) / MS_PER_DAY)
  );
}

/** The factor by which a reading must be changed to fit an ordinary day, or null. */
export function slipFactor(
  limits: CounterLimits,
  core: CounterCore,
  entry: CounterEntry,
  life: number,
): number | null {
  if (!limits.hasUnitSlip) return null;
  const offset = life - entry.raw;
  for (const factor of [KM_PER_MILE, 1 / KM_PER_MILE]) {
    if (isOrdinary(limits, core, entry.at, entry.raw * factor + offset)) return factor;
  }
  return null;
}

/**
 * Fits, but only at more than an ordinary day's run, where divided by the mile it would fit well:
 * after weeks without a reading almost anything "fits".
 */
function isLikelySlip(limits: CounterLimits, core: CounterCore, entry: CounterEntry, life: number): boolean {
  const ahead = life - core.head!.life;
  const days = (entry.at - core.head!.at) / MS_PER_DAY;
  return ahead > limits.ordinaryPerDay * (days + 0.1) && slipFactor(limits, core, entry, life) !== null;
}

function reasonFor(limits: CounterLimits, core: CounterCore, entry: CounterEntry, life: number): HeldReason {
  if (slipFactor(limits, core, entry, life) !== null) return 'unit-slip';
  return life < core.head!.life ? 'went-back' : 'too-fast';
}

function expectedAt(core: CounterCore, at: number): number {
  return core.head!.life + ((core.pace ?? 0) * (at - core.head!.at)) / MS_PER_DAY;
}

function atOwnOffset(limits: CounterLimits, core: CounterCore, entry: CounterEntry): Judgement | null {
  const head = core.head!;
  const first = core.aside[entry.source];
  if (!first || entry.at - first.at < MS_PER_DAY) return null;
  // A typed counter that disagrees with itself is for somebody to look at. A device may have been
  // replaced, and nobody tells.
  if (head.source === entry.source && entry.source !== 'telematics') return null;
  const run = entry.raw - first.raw;
  const expected = expectedAt(core, entry.at);
  if (!keepsDistance(limits, core, entry, first, expected)) return null;
  const line = core.lines[entry.source];
  const headLine = core.lines[head.source];
  const goesOn =
    line !== undefined &&
    isPlausible(limits, { at: line.at, life: line.raw }, entry.at, entry.raw) &&
    run >= 0;
  if (line === undefined || headLine === undefined || !goesOn || line.since > headLine.since)
    return believe(core, entry, expected);
  const life = entry.raw + line.life - line.raw;
  const shift = life - expected;
  return believe(
    { ...core, lines: { ...core.lines, [head.source]: { ...headLine, life: headLine.life + shift } } },
    entry,
    life,
  );
}

function keepsDistance(
  limits: CounterLimits,
  core: CounterCore,
  entry: CounterEntry,
  first: { at: number; raw: number; expected: number },
  expected: number,
): boolean {
  const run = entry.raw - first.raw;
  const days = (entry.at - first.at) / MS_PER_DAY;
  if (run < -limits.backSlack || run > limits.ordinaryPerDay * days + limits.offsetSlack) return false;
  if (core.pace === null) return true;
  const progress = expected - first.expected;
  return Math.abs(run - progress) <= 0.25 * Math.abs(progress) + limits.offsetSlack;
}

function setAside(limits: CounterLimits, core: CounterCore, entry: CounterEntry): CounterCore {
  const first = core.aside[entry.source];
  const expected = expectedAt(core, entry.at);
  // The older candidate stays while new readings fit it: hourly readings would otherwise never be a
  // day apart.
  if (first && keepsDistance(limits, core, entry, first, expected)) return core;
  return { ...core, aside: { ...core.aside, [entry.source]: { at: entry.at, raw: entry.raw, expected } } };
}

function without<T>(
  record: Partial<Record<UsageSource, T>>,
  source: UsageSource,
): Partial<Record<UsageSource, T>> {
  const copy = { ...record };
  delete copy[source];
  return copy;
}
