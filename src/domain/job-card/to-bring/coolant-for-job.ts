import type { CoolantBase, CoolantTechnology } from '../../coolant/coolant.js';
import type { Message } from '../../message.js';
import { measure, type Measure } from '../../quantities/measures.js';
import { message } from '../messages.js';
import type { CardWork } from '../work/card-work.js';
import {
  adjustedStrength,
  drained,
  type Noted,
  partlyDrained,
  type Pouring,
  readyMixed,
  stayingL,
  type StrengthAdjustment,
  type SystemToFill,
} from './coolant-to-pour.js';

/**
 * Taken where the spec sheet has no target: the middle of what ASTM D6210 covers, volume %; common
 * practice.
 */
export const DEFAULT_TARGET_STRENGTH_PERCENT = 50;

/** The coolant of a spec sheet; L and volume %. Null is not on the sheet. */
export interface SheetCoolant {
  base: CoolantBase;
  technology: CoolantTechnology | null;
  capacityL: number;
  drainableL: number | null;
  targetStrengthPercent: number | null;
}

/** The coolant part of a job card. */
export interface CoolantForJob extends Pouring {
  base: CoolantBase;
  technology: CoolantTechnology | null;
  capacity: Measure;
  drains: Measure | null;
  /** What stays in block and heater when it is drained; null where the sheet does not say. */
  stays: Measure | null;
  targetStrengthPercent: number;
  /** Where the strength is adjusted and the system not emptied. */
  adjust: StrengthAdjustment | null;
}

const NOTHING_POURED: Pouring = { comesOut: null, bring: null, premix: null, afterWaterFlush: null };

/**
 * What coolant to bring for a job, and how to pour it.
 *
 * Source: conservation of volume, volumes taken as additive (`partlyDrained`, `drained`,
 * `adjustedStrength`).
 *
 * @param coolant the sheet's; L, volume %
 * @param work what the job comes to
 * @param strengthPercent latest known strength in the system, volume %; null: what stays counts as
 * being as strong as the target
 * @param isElectric the circuit cools parts of the high-voltage system: its coolant comes ready
 * mixed
 * @returns the card's part, and what kept it from being complete
 * @example coolantForJob(sheet of 14 L, of which 9.5 L drain, at 50 %, workOf(a flush), null).coolant.bring // 7 L concentrate, 2.5 L water
 */
export function coolantForJob(
  coolant: SheetCoolant,
  work: CardWork,
  strengthPercent: number | null,
  isElectric = false,
): { coolant: CoolantForJob; missing: Message[]; basis: Message[] } {
  const { base, technology, capacityL, drainableL } = coolant;
  const target = coolant.targetStrengthPercent ?? DEFAULT_TARGET_STRENGTH_PERCENT;
  const system: SystemToFill = { capacityL, drainableL, targetPercent: target, strengthPercent };
  const staysL = stayingL(system);
  const pouring = isElectric ? readyMixedFor(system, work) : pouringFor(system, work);
  const adjusted = work.adjustsStrength && !isElectric ? adjustedStrength(system) : null;
  return {
    coolant: {
      base,
      technology,
      capacity: measure('volume', capacityL),
      drains: drainableL === null ? null : measure('volume', drainableL),
      stays: staysL === null ? null : measure('volume', staysL),
      targetStrengthPercent: target,
      ...(pouring?.part ?? NOTHING_POURED),
      adjust: adjusted?.part ?? null,
    },
    missing: [
      ...(coolant.targetStrengthPercent === null
        ? [message('card-no-target-strength', { percent: target })]
        : []),
      ...(pouring?.missing ?? []),
      ...(adjusted?.missing ?? []),
      ...(technology === null && work.opensCircuit ? [message('card-no-technology')] : []),
    ],
    basis: [...(pouring?.basis ?? []), ...(adjusted?.basis ?? [])],
  };
}

function readyMixedFor(system: SystemToFill, work: CardWork): Noted<Pouring> | null {
  return work.opensCircuit ? readyMixed(system, work.comesOutShare) : null;
}

function pouringFor(system: SystemToFill, work: CardWork): Noted<Pouring> | null {
  switch (work.opens) {
    case 'none':
      return null;
    case 'some':
      return partlyDrained(system, work.comesOutShare);
    case 'all':
      return drained(system, work.flushes);
  }
}
