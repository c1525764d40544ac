import { type WarmUpCheckReading, warmUpClearsTrappedAir } from '../checks/warm-up-check.js';
import type { CommonPractice } from '../evaluation/common-practice.js';
import type { Findings } from '../evaluation/findings.js';
import type { Message } from '../message.js';
import { airLeftFraction } from '../pressure/vacuum-fill.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { message } from './messages.js';

/** The volumes of a fill and what they are judged by; L. */
export interface FillVolumes {
  drainedL: number | null;
  drainableL: number | null;
  capacityL: number | null;
  cameInLow: boolean;
  /** All that went in, top-ups of the same job included. */
  addedL: number;
  /** Whether it was topped up to the mark before the engine was started; null: not said. */
  toppedUpToMark: boolean | null;
  /** The vacuum in the system when it was filled by vacuum, and the air pressure there; kPa. */
  vacuum: { vacuumKpa: number; atmosphereKpa: number } | null;
  warmUp: WarmUpCheckReading | null;
  /** The volume unit that was typed, for wording. */
  unit: Unit;
}

/**
 * How much of a system was empty when it was filled: what came out, or what could have, where the
 * system came in low.
 *
 * @returns L; null where neither is known
 * @example emptyL({ drainedL: 6, drainableL: 9.5, cameInLow: true }) // 9.5
 */
export function emptyL({
  drainedL,
  drainableL,
  cameInLow,
}: Pick<FillVolumes, 'drainedL' | 'drainableL' | 'cameInLow'>): number | null {
  if (!cameInLow) return drainedL;
  return drainedL === null ? drainableL : Math.max(drainedL, drainableL ?? 0);
}

/**
 * What is missing after a fill: shortfall = what was empty − what went in.
 *
 * Source: conservation of volume (own derivation). Air that a vacuum left is missing coolant all
 * the same: it is topped up before the engine is started.
 *
 * @param fill all in L
 * @returns L; negative when more went in than came out. Null where what was empty is not known
 * @example shortfallL({ drainedL: 9.4, drainableL: 9.5, cameInLow: false, addedL: 8 }) // 1.4
 */
export function shortfallL(
  fill: Pick<FillVolumes, 'drainedL' | 'drainableL' | 'cameInLow' | 'addedL'>,
): number | null {
  const empty = emptyL(fill);
  return empty === null ? null : empty - fill.addedL;
}

/**
 * The air that a vacuum fill leaves in what was empty, by Boyle's law (`airLeftFraction`).
 *
 * @returns L; 0 where it was not filled by vacuum
 */
export function airLeftL({ vacuum, ...volumes }: FillVolumes): number {
  const empty = emptyL(volumes);
  if (vacuum === null || empty === null) return 0;
  return empty * Math.max(0, airLeftFraction(vacuum.vacuumKpa, vacuum.atmosphereKpa));
}

/**
 * Judges what is missing. Above the larger of 0.5 L and 5 % of capacity (common practice) air is
 * trapped, unless the warm-up check of the same job shows that it is gone. Where it is not said
 * that a vacuum fill was topped up to the mark, what the vacuum left is not told from trapped
 * air: a doubt.
 *
 * @param findings where the findings go
 * @returns what the limit rests on
 */
export function judgeShortfall(fill: FillVolumes, practice: CommonPractice, findings: Findings): Message[] {
  const { capacityL, drainableL, cameInLow, unit } = fill;
  const empty = emptyL(fill);
  const missingL = shortfallL(fill);
  if (empty === null || missingL === null) {
    findings.doubts.push(message('fill-drained-not-known'));
    return [];
  }
  if (cameInLow && drainableL === null) findings.doubts.push(message('fill-came-in-low'));
  const allowedL = Math.max(practice.trappedAirL, practice.trappedAirShareOfCapacity * (capacityL ?? empty));
  if (missingL > allowedL * (1 + 1e-9)) tellWhatIsMissing(fill, missingL, allowedL, findings);
  return [
    message('basis-trapped-air', {
      allowed: told('volume', allowedL, unit, 'down'),
      least: told('volume', practice.trappedAirL, unit),
      share: 100 * practice.trappedAirShareOfCapacity,
      of: capacityL === null ? 'drained' : 'capacity',
    }),
  ];
}

function tellWhatIsMissing(fill: FillVolumes, missingL: number, allowedL: number, findings: Findings): void {
  const { unit, warmUp, toppedUpToMark } = fill;
  const missing = told('volume', missingL, unit);
  const vacuumLeftL = airLeftL(fill);
  if (warmUp !== null && warmUpClearsTrappedAir(warmUp)) {
    findings.remarks.push(message('fill-short-without-air', { missing }));
  } else if (toppedUpToMark === false) {
    findings.fails.push(message('fill-short-not-topped-up', { missing }));
  } else if (toppedUpToMark === null && missingL <= vacuumLeftL + allowedL) {
    const air = told('volume', vacuumLeftL, unit);
    findings.doubts.push(message('fill-short-by-vacuum', { missing, air }));
  } else {
    const toppedUp = toppedUpToMark === true ? 'yes' : 'no';
    findings.fails.push(message('fill-short-air-trapped', { missing, toppedUp }));
  }
}
