import { type WarmUpCheckReading, warmUpClearsTrappedAir } from '../checks/warm-up-check.js';
import type { CommonPractice } from '../evaluation/common-practice.js';
import type { Findings } from '../evaluation/findings.js';
import { airLeftFraction } from '../pressure/vacuum-fill.js';
import type { Unit } from '../quantities/units.js';
import { plain, say } from '../quantities/wording.js';

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
export function judgeShortfall(fill: FillVolumes, practice: CommonPractice, findings: Findings): string[] {
  const { capacityL, drainableL, cameInLow, unit } = fill;
  const empty = emptyL(fill);
  const missingL = shortfallL(fill);
  if (empty === null || missingL === null) {
    findings.doubts.push('How much was drained is not known, so trapped air cannot be told: give drained.');
    return [];
  }
  if (cameInLow && drainableL === null)
    findings.doubts.push(
      'It came in low and the drainable volume is not on the spec sheet, so what should have gone in is not known.',
    );
  const allowedL = Math.max(practice.trappedAirL, practice.trappedAirShareOfCapacity * (capacityL ?? empty));
  if (missingL > allowedL * (1 + 1e-9)) tellWhatIsMissing(fill, missingL, allowedL, findings);
  return [
    `trapped air above a shortfall of ${say(allowedL, 'L', unit, 'down')}, the larger of ${say(practice.trappedAirL, 'L', unit)} and ${plain(100 * practice.trappedAirShareOfCapacity)} % of ${capacityL === null ? 'what was drained' : 'capacity'} (common practice)`,
  ];
}

function tellWhatIsMissing(fill: FillVolumes, missingL: number, allowedL: number, findings: Findings): void {
  const { unit, warmUp, toppedUpToMark } = fill;
  const missing = `${say(missingL, 'L', unit)} less went in than the system should have taken`;
  const vacuumLeftL = airLeftL(fill);
  if (warmUp !== null && warmUpClearsTrappedAir(warmUp)) {
    findings.remarks.push(`${missing}, but the warm-up check shows that no air is trapped.`);
  } else if (toppedUpToMark === false) {
    findings.fails.push(
      `${missing}, and it was not topped up to the mark. Top it up before starting the engine, and report all that went in.`,
    );
  } else if (toppedUpToMark === null && missingL <= vacuumLeftL + allowedL) {
    findings.doubts.push(
      `${missing}; the vacuum leaves up to ${say(vacuumLeftL, 'L', unit)} of air. Top up to the mark before starting the engine. Then report all that went in, and say whether it was topped up to the mark (toppedUpToMark).`,
    );
  } else {
    findings.fails.push(
      `${missing}${toppedUpToMark === true ? ', though it was topped up to the mark' : ''}: air is trapped. Bleed it and run the warm-up check: thermostat open, heat at the vents, temperature steady, level at the mark when cold.`,
    );
  }
}
