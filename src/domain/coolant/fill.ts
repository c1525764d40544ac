import { cautionsFor } from '../cautions/cautions.js';
import { COMMON_PRACTICE, type CommonPractice } from '../checks/common-practice.js';
import { conclude, noFindings, type Findings } from '../checks/findings.js';
import { requireNotNegative, requirePercent } from '../checks/plausible.js';
import { plain, say } from '../checks/wording.js';
import { type WarmUpCheckReading, warmUpClearsTrappedAir } from '../checks/warm-up-check.js';
import type { Evaluation } from '../evaluation.js';
import { airLeftFraction } from '../pressure/vacuum-fill.js';
import { measure } from '../quantities/measures.js';
import type { Unit } from '../quantities/units.js';
import type { CoolantBase, CoolantTechnology, Poured } from './coolant.js';
import { strengthAfterAdding } from './dilution.js';
import { pouringConsequences } from './mixing.js';

/** Coolant drained from a system and filled in again. */
export interface FillReading {
  kind: 'fill';
  drainedL?: number | null;
  /** It came in already low, so that less drained out than the system can give. */
  cameInLow?: boolean | null;
  addedL: number;
  /** Volume % of what was filled in. */
  strengthPercent?: number | null;
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  product?: string | null;
  /** The volume unit that was typed, for wording. */
  unit: Unit;
}

/** What a fill is judged by; null and absent mean unknown. */
export interface FillSurroundings {
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  capacityL?: number | null;
  drainableL?: number | null;
  /** Poured in since the system was last emptied. */
  earlier?: readonly Poured[];
  /** Volume % of what stayed in the system; 0 after a water flush. */
  stayedStrengthPercent?: number | null;
  /** The vacuum in the system when it was filled by vacuum, and the air pressure there; kPa. */
  filledFromVacuum?: { vacuumKpa: number; atmosphereKpa: number } | null;
  /** The warm-up check of the same job. */
  warmUp?: WarmUpCheckReading | null;
  practice?: CommonPractice;
}

/**
 * What is missing after a fill: shortfall = what came out (or could have, if it came in low) − what went in − the air that a vacuum fill leaves.
 *
 * Source: conservation of volume (own derivation).
 *
 * @param fill all in L
 * @returns L; negative when more went in than came out
 * @example shortfallL({ drainedL: 9.4, drainableL: 9.5, cameInLow: false, addedL: 8, expectedAirL: 0.3 }) // 1.1
 */
export function shortfallL(fill: {
  drainedL: number;
  drainableL: number | null;
  cameInLow: boolean;
  addedL: number;
  expectedAirL: number;
}): number {
  const emptyL = fill.cameInLow ? Math.max(fill.drainedL, fill.drainableL ?? 0) : fill.drainedL;
  return emptyL - fill.addedL - fill.expectedAirL;
}

/**
 * Judges a fill: whether as much went in as came out, and whether what went in belongs there.
 *
 * Source: conservation of volume; a shortfall above the larger of 0.5 L and 5 % of capacity means trapped air (common practice), unless the warm-up check of the same job
 * shows that it is gone.
 *
 * @param reading L and volume %
 * @param around L, volume %, kPa
 * @returns computed: `shortfall` (null when unknown), `expectedAir`, `topUpAfterWarmUp`, `expectedStrengthPercent`, `otherBase`, `shortensCoolantLife`
 * @throws ImpossibleValue for negative volumes or a strength outside 0 to 100 %.
 * @example evaluateFill({ kind: 'fill', drainedL: 9.4, addedL: 9.3, unit: 'L' }, { capacityL: 14 }).verdict // 'pass'
 */
export function evaluateFill(reading: FillReading, around: FillSurroundings = {}): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const { unit } = reading;
  const addedL = requireNotNegative('added', reading.addedL, 'L');
  const drainedL = reading.drainedL == null ? null : requireNotNegative('drained', reading.drainedL, 'L');
  if (reading.strengthPercent != null) requirePercent('strengthPercent', reading.strengthPercent);
  const capacityL = around.capacityL ?? null;
  const drainableL = around.drainableL ?? null;
  const findings = noFindings();
  const basis: string[] = [];

  const mixing = pouringConsequences(
    { base: reading.base ?? null, technology: reading.technology ?? null, volumeL: addedL },
    {
      base: around.base ?? null,
      technology: around.technology ?? null,
      capacityL,
      earlier: around.earlier ?? [],
    },
    practice,
  );
  findings.fails.push(...mixing.fails);
  basis.push(...mixing.basis);
  doubtTheVolumes(addedL, drainedL, capacityL, unit, practice, findings);

  const cameInLow = reading.cameInLow === true;
  const cameOutL = drainedL ?? (drainableL !== null && cameInLow ? drainableL : null);
  const emptyL = cameOutL === null ? null : cameInLow ? Math.max(cameOutL, drainableL ?? 0) : cameOutL;
  const vacuum = around.filledFromVacuum ?? null;
  const expectedAirL =
    vacuum === null || emptyL === null
      ? 0
      : emptyL * Math.max(0, airLeftFraction(vacuum.vacuumKpa, vacuum.atmosphereKpa));
  if (vacuum !== null)
    basis.push(
      'filled from the vacuum of the hold test: the air that it left is expected to be topped up after warm-up',
    );
  let missingL: number | null = null;
  if (cameOutL === null) {
    findings.doubts.push('How much was drained is not known, so trapped air cannot be told: give drained.');
  } else {
    missingL = shortfallL({ drainedL: cameOutL, drainableL, cameInLow, addedL, expectedAirL });
    const allowedL = Math.max(
      practice.trappedAirL,
      practice.trappedAirShareOfCapacity * (capacityL ?? cameOutL),
    );
    basis.push(
      `trapped air above a shortfall of ${say(allowedL, 'L', unit)}, the larger of ${say(practice.trappedAirL, 'L', unit)} and ${plain(100 * practice.trappedAirShareOfCapacity)} % of ${capacityL === null ? 'what was drained' : 'capacity'} (common practice)`,
    );
    if (cameInLow && drainableL === null)
      findings.doubts.push(
        'It came in low and the drainable volume is not on the spec sheet, so what should have gone in is not known.',
      );
    judgeShortfall(missingL, allowedL, unit, around.warmUp ?? null, findings);
  }
  if (expectedAirL > 0) findings.remarks.push(`Top up after warm-up: up to ${say(expectedAirL, 'L', unit)}.`);
  const expectedStrength = strengthOnceMixed(
    reading,
    addedL,
    capacityL,
    around.stayedStrengthPercent ?? null,
  );
  if (expectedStrength !== null) {
    findings.remarks.push(
      `Once mixed with what stayed in the system: about ${plain(expectedStrength)} %${expectedStrength < 40 ? ', too weak: add neat concentrate and check the freeze point' : ''}.`,
    );
  }
  return {
    ...conclude(
      findings,
      `${say(addedL, 'L', unit)} went in for ${say(emptyL ?? addedL, 'L', unit)} that was empty.`,
    ),
    computed: {
      shortfall: missingL === null ? null : measure('volume', missingL),
      expectedAir: measure('volume', expectedAirL),
      topUpAfterWarmUp: measure('volume', expectedAirL),
      expectedStrengthPercent: expectedStrength,
      otherBase: mixing.otherBase,
      shortensCoolantLife: mixing.shortensLife,
    },
    cautions: [...mixing.cautions, ...cautionsFor('filling')],
    basis: ['shortfall = what came out - what went in - expected air', ...basis],
  };
}

function judgeShortfall(
  missingL: number,
  allowedL: number,
  unit: Unit,
  warmUp: WarmUpCheckReading | null,
  findings: Findings,
): void {
  if (missingL <= allowedL * (1 + 1e-9)) return;
  const missing = `${say(missingL, 'L', unit)} less went in than the system should have taken`;
  if (warmUp !== null && warmUpClearsTrappedAir(warmUp)) {
    findings.remarks.push(`${missing}, but the warm-up check shows that no air is trapped.`);
  } else {
    findings.fails.push(
      `${missing}: air is trapped. Bleed it and run the warm-up check: thermostat open, heat at the vents, temperature steady, level at the mark when cold.`,
    );
  }
}

function doubtTheVolumes(
  addedL: number,
  drainedL: number | null,
  capacityL: number | null,
  unit: Unit,
  practice: CommonPractice,
  findings: Findings,
): void {
  if (capacityL === null) return;
  const mostL = capacityL + Math.max(practice.trappedAirL, practice.trappedAirShareOfCapacity * capacityL);
  for (const [field, volumeL] of [
    ['added', addedL],
    ['drained', drainedL],
  ] as const) {
    if (volumeL === null || volumeL <= mostL) continue;
    findings.doubts.push(
      `${field}: ${say(volumeL, 'L', unit)} is more than the system holds, ${say(capacityL, 'L', unit)}: check the number and its unit.`,
    );
  }
}

// Ready-mixed coolant poured on the water that a flush left ends weak: 9.5 L of 50 % on 4.5 L of water is 34 %.
function strengthOnceMixed(
  reading: FillReading,
  addedL: number,
  capacityL: number | null,
  stayedPercent: number | null,
): number | null {
  const strengthPercent = reading.strengthPercent ?? null;
  if (
    strengthPercent === null ||
    capacityL === null ||
    stayedPercent === null ||
    addedL > capacityL ||
    addedL === 0
  )
    return null;
  return strengthAfterAdding(capacityL - addedL, stayedPercent, addedL, strengthPercent);
}
