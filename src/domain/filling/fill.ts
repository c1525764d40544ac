import { cautionsFor } from '../cautions/cautions.js';
import type { WarmUpCheckReading } from '../checks/warm-up-check.js';
import type { CoolantBase, CoolantTechnology, Poured } from '../coolant/coolant.js';
import { message as coolantMessage } from '../coolant/messages.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { conclude, noFindings, type Findings } from '../evaluation/findings.js';
import type { Message } from '../message.js';
import { measure } from '../quantities/measures.js';
import { requireNotNegative, requirePercent } from '../quantities/plausible.js';
import { told } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { airLeftL, emptyL, type FillVolumes, judgeShortfall, shortfallL } from './fill-shortfall.js';
import { type FreezePointRead, strengthOnceMixed, tellExpectedStrength } from './fill-strength.js';
import { message } from './messages.js';
import { pouringConsequences } from './mixing.js';

/** Coolant drained from a system and filled in again. */
export interface FillReading {
  kind: 'fill';
  drainedL?: number | null;
  /** It came in already low, so that less drained out than the system can give. */
  cameInLow?: boolean | null;
  /** All that went in, including the top-up to the mark. */
  addedL: number;
  /** Topped up to the mark before the engine was started: what is missing then is trapped air. */
  toppedUpToMark?: boolean | null;
  /** Volume % of what was filled in. */
  strengthPercent?: number | null;
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  product?: string | null;
  /** Volume % of what stayed in the system, where somebody knows better than the records do. */
  stayedStrengthPercent?: number | null;
  /** Tap water went in. */
  tapWater?: boolean | null;
  /** The volume unit that was typed, for wording. */
  unit: Unit;
}

/** What a fill is judged by; null and absent mean unknown. */
export interface FillSurroundings {
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  capacityL?: number | null;
  drainableL?: number | null;
  /** Poured in since the coolant was last replaced. */
  earlier?: readonly Poured[];
  basesSinceFlush?: readonly CoolantBase[];
  /** Volume % of what stayed in the system; 0 after a water flush. */
  stayedStrengthPercent?: number | null;
  /** The vacuum in the system when it was filled by vacuum, and the air pressure there; kPa. */
  filledFromVacuum?: { vacuumKpa: number; atmosphereKpa: number } | null;
  /** The warm-up check of the same job. */
  warmUp?: WarmUpCheckReading | null;
  /** What the top-ups of the same job added, L. */
  toppedUpL?: number;
  /** Read afterwards in the same job, the freeze point settles a weak mixture. */
  freezePointRead?: FreezePointRead;
  practice?: CommonPractice;
}

/**
 * Judges a fill: whether as much went in as came out, whether what went in belongs there, and how
 * strong it ends.
 *
 * Source: conservation of volume; a shortfall above the larger of 0.5 L and 5 % of capacity means
 * trapped air (common practice), unless the warm-up check of the same job
 * shows that it is gone.
 *
 * @param reading L and volume %
 * @param around L, volume %, kPa
 * @returns computed: `shortfall` (null when unknown), `expectedAir` (left by a vacuum),
 * `expectedStrengthPercent`, `strengthCheckDue`, `otherBase`,
 * `shortensCoolantLife`, `tapWater`
 * @throws ImpossibleValue for negative volumes or a strength outside 0 to 100 %.
 * @example evaluateFill({ kind: 'fill', drainedL: 9.4, addedL: 9.3, unit: 'L' }, { capacityL: 14 }).verdict // 'pass'
 */
export function evaluateFill(reading: FillReading, around: FillSurroundings = {}): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const volumes = volumesOf(reading, around);
  const { capacityL } = volumes;
  const findings = noFindings();
  const mixing = pouringConsequences(
    { base: reading.base ?? null, technology: reading.technology ?? null, volumeL: reading.addedL },
    {
      base: around.base ?? null,
      technology: around.technology ?? null,
      capacityL,
      earlier: around.earlier ?? [],
      basesSinceFlush: around.basesSinceFlush,
    },
    practice,
  );
  findings.fails.push(...mixing.fails);
  doubtTheVolumes(volumes, practice, findings);
  const limit = judgeShortfall(volumes, practice, findings);
  const missingL = shortfallL(volumes);
  const wasEmptyL = emptyL(volumes);
  const expectedStrength = strengthOnceMixed({
    capacityL,
    emptyL: wasEmptyL,
    drainableL: volumes.drainableL,
    addedL: reading.addedL,
    strengthPercent: reading.strengthPercent ?? null,
    stayedStrengthPercent: reading.stayedStrengthPercent ?? around.stayedStrengthPercent ?? null,
  });
  const strengthCheckDue = tellExpectedStrength(expectedStrength, around.freezePointRead ?? null, findings);
  if (reading.tapWater === true) findings.remarks.push(coolantMessage('coolant-tap-water'));
  return {
    ...conclude(findings, whatWentIn(volumes)),
    computed: {
      shortfall: missingL === null ? null : measure('volume', missingL),
      expectedAir: measure('volume', airLeftL(volumes)),
      expectedStrengthPercent: expectedStrength,
      strengthCheckDue,
      otherBase: mixing.otherBase,
      shortensCoolantLife: mixing.shortensLife,
      tapWater: reading.tapWater === true,
    },
    cautions: [...mixing.cautions, ...cautionsFor('filling')],
    basis: [message('basis-shortfall'), ...mixing.basis, ...limit],
  };
}

function whatWentIn(volumes: FillVolumes): Message {
  const { addedL, unit } = volumes;
  return message('fill-done', {
    added: told('volume', addedL, unit),
    empty: told('volume', emptyL(volumes) ?? addedL, unit),
  });
}

function volumesOf(reading: FillReading, around: FillSurroundings): FillVolumes {
  const { strengthPercent, stayedStrengthPercent, drainedL } = reading;
  if (strengthPercent != null) requirePercent('strengthPercent', strengthPercent);
  if (stayedStrengthPercent != null) requirePercent('stayedStrengthPercent', stayedStrengthPercent);
  return {
    drainedL: drainedL == null ? null : requireNotNegative('drained', drainedL, 'L'),
    drainableL: around.drainableL ?? null,
    capacityL: around.capacityL ?? null,
    cameInLow: reading.cameInLow === true,
    addedL: requireNotNegative('added', reading.addedL, 'L') + (around.toppedUpL ?? 0),
    toppedUpToMark: reading.toppedUpToMark ?? null,
    vacuum: around.filledFromVacuum ?? null,
    warmUp: around.warmUp ?? null,
    unit: reading.unit,
  };
}

function doubtTheVolumes(
  { addedL, drainedL, capacityL, unit }: FillVolumes,
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
      message('fill-more-than-capacity', {
        field,
        volume: told('volume', volumeL, unit),
        capacity: told('volume', capacityL, unit, 'down'),
      }),
    );
  }
}
