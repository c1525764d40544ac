import { coolantToBring } from '../../filling/coolant-to-bring.js';
import { drainToReach, strengthAfterAdding } from '../../filling/dilution.js';
import { ImpossibleValue } from '../../impossible-value.js';
import type { Message } from '../../message.js';
import { measure, type Measure } from '../../quantities/measures.js';
import { message } from '../messages.js';

/** The system that coolant is poured into; L and volume %. */
export interface SystemToFill {
  capacityL: number;
  /** Null where the sheet does not say what drains out. */
  drainableL: number | null;
  targetPercent: number;
  /** Latest known; null takes what stays to be at the target. */
  strengthPercent: number | null;
}

/** What to pour, with how to pour it. */
export interface ToPour {
  concentrate: Measure;
  water: Measure;
  note: Message;
}

/** What comes out for the work asked, and what goes in. */
export interface Pouring {
  /** About how much comes out for the work asked, of what drains; null where nothing comes out. */
  comesOut: Measure | null;
  /** For the work asked; null where nothing is filled, or the target cannot be reached. */
  bring: ToPour | null;
  /** In place of concentrate and water, where what stays is coolant. */
  premix: { volume: Measure; strengthPercent: number; endsAtPercent: number } | null;
  /** Where the system is flushed with water first: what stays is water then. */
  afterWaterFlush: ToPour | null;
}

/** Bringing the strength to the target without emptying the system. */
export interface StrengthAdjustment {
  drain: Measure;
  pour: 'concentrate' | 'water';
  fromPercent: number;
}

/** A part of the card, with what kept it from being complete and what it is worked out from. */
export interface Noted<Part> {
  part: Part;
  missing: Message[];
  basis: Message[];
}

const SUM_BASIS = message('basis-card-pour');

/**
 * What to bring where only some of the coolant comes out: as much at the target, in case what was
 * caught is not clean enough to pour back.
 *
 * Source: common practice; conservation of volume (`strengthAfterAdding`).
 *
 * @param share of what drains that comes out, 0 to 1
 */
export function partlyDrained(system: SystemToFill, share: number): Noted<Pouring> {
  const { capacityL, drainableL, targetPercent, strengthPercent } = system;
  const outL = (drainableL ?? capacityL) * share;
  const concentrateL = (outL * targetPercent) / 100;
  const left = strengthPercent ?? targetPercent;
  const spare = measured({ concentrateL, waterL: outL - concentrateL });
  return {
    part: {
      comesOut: measure('volume', outL),
      bring: {
        ...spare,
        note: message('card-pour-spare', spare),
      },
      premix: {
        volume: measure('volume', outL),
        strengthPercent: targetPercent,
        endsAtPercent: strengthAfterAdding(capacityL - outL, left, outL, targetPercent),
      },
      afterWaterFlush: null,
    },
    missing: [],
    basis: [SUM_BASIS, message('basis-card-share', { percent: 100 * share })],
  };
}

/**
 * What to bring of a coolant that is bought ready mixed: as much as comes out, or enough for the
 * whole system where the sheet does not say what drains. Neither concentrate nor water is mixed in.
 *
 * Source: common practice; conservation of volume (`strengthAfterAdding`).
 *
 * @param share of what drains that comes out, 0 to 1
 */
export function readyMixed(system: SystemToFill, share: number): Noted<Pouring> {
  const { capacityL, drainableL, targetPercent, strengthPercent } = system;
  const outL = (drainableL ?? capacityL) * share;
  const left = strengthPercent ?? targetPercent;
  return {
    part: {
      comesOut: drainableL === null ? null : measure('volume', outL),
      bring: null,
      premix: {
        volume: measure('volume', outL),
        strengthPercent: targetPercent,
        endsAtPercent:
          outL < capacityL ? strengthAfterAdding(capacityL - outL, left, outL, targetPercent) : targetPercent,
      },
      afterWaterFlush: null,
    },
    missing: drainableL === null ? [message('card-no-drainable-volume')] : [],
    basis: [SUM_BASIS],
  };
}

/**
 * What to bring if everything that drains comes out. After a water flush, water stays in the
 * system, so neat concentrate of capacity × target goes in first. If the sheet does not say what
 * drains out, the amount is enough for the whole system.
 *
 * Source: conservation of volume (`coolantToBring`).
 *
 * @param isFlushed with water, as part of the work
 */
export function drained(system: SystemToFill, isFlushed: boolean): Noted<Pouring> {
  const { drainableL } = system;
  const missing: Message[] = [];
  if (drainableL === null) missing.push(message('card-no-drainable-volume'));
  const comesOut = drainableL === null ? null : measure('volume', drainableL);
  const flushed = attempt(() => amountsFor(system, 0), missing);
  const amounts = flushed && measured(flushed);
  const afterWaterFlush = amounts && {
    ...amounts,
    note: message('card-pour-after-flush', { concentrate: amounts.concentrate }),
  };
  const part: Pouring = { comesOut, bring: afterWaterFlush, premix: null, afterWaterFlush };
  if (isFlushed) return { part, missing, basis: [SUM_BASIS] };
  const refilled = refilledAfterDrain(system, missing);
  return { part: { ...part, ...refilled.part }, missing, basis: [SUM_BASIS, ...refilled.basis] };
}

function refilledAfterDrain(
  system: SystemToFill,
  missing: Message[],
): { part: Pick<Pouring, 'bring' | 'premix'>; basis: Message[] } {
  const { capacityL, targetPercent, strengthPercent } = system;
  const staysL = stayingL(system);
  const stays = strengthPercent ?? targetPercent;
  const mixed = attempt(() => amountsFor(system, stays), missing);
  const amounts = mixed && measured(mixed);
  const roomL = capacityL - (staysL ?? 0);
  return {
    part: {
      bring: amounts && { ...amounts, note: message('card-pour-mixed', amounts) },
      premix: {
        volume: measure('volume', roomL),
        strengthPercent: targetPercent,
        endsAtPercent:
          staysL === null ? targetPercent : strengthAfterAdding(staysL, stays, roomL, targetPercent),
      },
    },
    basis: [
      strengthPercent === null
        ? message('basis-card-stays-at-target', { percent: targetPercent })
        : message('basis-card-stays-at-known', { percent: strengthPercent }),
    ],
  };
}

/**
 * How much to drain and to pour in, to bring the strength to the target.
 *
 * Source: conservation of volume (`drainToReach`).
 */
export function adjustedStrength(system: SystemToFill): Noted<StrengthAdjustment | null> {
  const { capacityL, drainableL, targetPercent, strengthPercent } = system;
  const missing: Message[] = [];
  const basis = [SUM_BASIS];
  if (strengthPercent === null) {
    missing.push(message('card-no-strength'));
    return { part: null, missing, basis };
  }
  const pour = strengthPercent <= targetPercent ? 'concentrate' : 'water';
  const drainL = attempt(
    () => drainToReach(capacityL, strengthPercent, pour === 'concentrate' ? 100 : 0, targetPercent),
    missing,
  );
  if (drainL === null) return { part: null, missing, basis };
  if (drainableL !== null && drainL > drainableL) {
    missing.push(message('card-drains-too-little', { amount: measure('volume', drainL) }));
  }
  return { part: { drain: measure('volume', drainL), pour, fromPercent: strengthPercent }, missing, basis };
}

/**
 * What stays in block and heater when a system is drained, L; null where the sheet does not say.
 */
export function stayingL({
  capacityL,
  drainableL,
}: Pick<SystemToFill, 'capacityL' | 'drainableL'>): number | null {
  return drainableL === null ? null : capacityL - drainableL;
}

/** A sum's result; null where it cannot come out, and the card says why. */
function attempt<T>(sum: () => T, missing: Message[]): T | null {
  try {
    return sum();
  } catch (error) {
    if (!(error instanceof ImpossibleValue)) throw error;
    missing.push(message('card-coolant-impossible', { why: error.detail }));
    return null;
  }
}

function amountsFor(system: SystemToFill, staysStrengthPercent: number) {
  return coolantToBring({
    capacityL: system.capacityL,
    staysL: stayingL(system) ?? 0,
    staysStrengthPercent,
    targetStrengthPercent: system.targetPercent,
  });
}

function measured(amounts: { concentrateL: number; waterL: number }): Omit<ToPour, 'note'> {
  return {
    concentrate: measure('volume', amounts.concentrateL),
    water: measure('volume', amounts.waterL),
  };
}
