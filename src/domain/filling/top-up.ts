import { cautionsFor } from '../cautions/cautions.js';
import type { CoolantBase, CoolantTechnology } from '../coolant/coolant.js';
import { message as coolantMessage } from '../coolant/messages.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import type { Message } from '../message.js';
import { measure } from '../quantities/measures.js';
import { requirePercent, requirePositive } from '../quantities/plausible.js';
import { told, toldPercent } from '../quantities/told.js';
import type { Unit } from '../quantities/units.js';
import { strengthAfterAdding } from './dilution.js';
import type { FreezePointRead } from './fill-strength.js';
import { message } from './messages.js';
import { pouringConsequences, type SystemCoolant } from './mixing.js';

/** Coolant or water added to a system in use. */
export interface TopUpReading {
  kind: 'top-up';
  addedL: number;
  /** Whether it was filled to the mark; the amount is then what was missing. */
  toMark?: boolean | null;
  /** Volume %; 0 for water, null when not known. */
  strengthPercent?: number | null;
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  /** Tap water went in. */
  tapWater?: boolean | null;
  /** A top-up that belonged to the work, such as after a warm-up. */
  planned?: boolean | null;
  /** The volume unit that was typed, for wording. */
  unit: Unit;
}

/** What a top-up is judged by; null and absent mean unknown. */
export interface TopUpSurroundings extends Partial<SystemCoolant> {
  /** Volume % in the system before. */
  strengthPercent?: number | null;
  /** Read afterwards in the same job, the freeze point settles a weakened coolant at once. */
  freezePointRead?: FreezePointRead;
  practice?: CommonPractice;
}

/**
 * Judges a top-up: fails where another base was poured in; else there is no limit to judge by, and
 * the verdict is null. Whether top-ups repeat is for the loss watch.
 *
 * @param reading L and volume %
 * @param around L and volume %
 * @returns computed: `added`, `resultStrengthPercent` (null when unknown), `strengthCheckDue`,
 * `otherBase`, `shortensCoolantLife`, `tapWater`
 * @throws ImpossibleValue when nothing was added or a strength is outside 0 to 100 %.
 * @example evaluateTopUp({ kind: 'top-up', addedL: 0.5, strengthPercent: 0, unit: 'L' }, { capacityL: 12, strengthPercent: 50 }).computed.resultStrengthPercent // 47.92
 */
export function evaluateTopUp(reading: TopUpReading, around: TopUpSurroundings = {}): Evaluation {
  const practice = around.practice ?? COMMON_PRACTICE;
  const addedL = requirePositive('added', reading.addedL, 'L');
  const poured =
    reading.strengthPercent == null ? null : requirePercent('strengthPercent', reading.strengthPercent);
  const capacityL = around.capacityL ?? null;
  const mixing = pouringConsequences(
    { base: reading.base ?? null, technology: reading.technology ?? null, volumeL: addedL },
    {
      base: around.base ?? null,
      technology: around.technology ?? null,
      capacityL,
      earlier: around.earlier ?? [],
      basesSinceFlush: around.basesSinceFlush,
    },
    practice,
  );
  const result = strengthOnceToppedUp(addedL, poured, around);
  const strengthCheckDue = poured === 0 && around.freezePointRead !== 'after';
  return {
    verdict: mixing.fails.length > 0 ? 'fail' : null,
    reasons: [
      ...mixing.fails,
      whatWasAdded(reading, poured, result),
      ...(capacityL !== null && addedL > capacityL
        ? [
            message('top-up-more-than-capacity', {
              capacity: told('volume', capacityL, reading.unit, 'down'),
            }),
          ]
        : []),
      ...(reading.tapWater === true ? [coolantMessage('coolant-tap-water')] : []),
      ...(strengthCheckDue ? strengthCheck(around) : []),
      ...(reading.planned !== true && mixing.fails.length === 0 ? [message('top-up-not-judged')] : []),
    ],
    computed: {
      added: measure('volume', addedL),
      resultStrengthPercent: result,
      strengthCheckDue,
      otherBase: mixing.otherBase,
      shortensCoolantLife: mixing.shortensLife,
      tapWater: reading.tapWater === true,
    },
    cautions: [...mixing.cautions, ...cautionsFor('filling')],
    basis: [...(result === null ? [] : [message('basis-top-up-strength')]), ...mixing.basis],
  };
}

/** @returns volume %; null where something is not known, or more went in than the system holds */
function strengthOnceToppedUp(
  addedL: number,
  pouredPercent: number | null,
  { capacityL, strengthPercent }: TopUpSurroundings,
): number | null {
  if (pouredPercent === null || strengthPercent == null || capacityL == null || addedL > capacityL)
    return null;
  return strengthAfterAdding(capacityL - addedL, strengthPercent, addedL, pouredPercent);
}

function whatWasAdded(
  { addedL, unit }: TopUpReading,
  pouredPercent: number | null,
  resultPercent: number | null,
): Message {
  return message('top-up-added', {
    added: told('volume', addedL, unit),
    what: pouredPercent === null ? 'coolant' : pouredPercent === 0 ? 'water' : 'premix',
    strength: toldPercent(pouredPercent ?? 0),
    mixed: resultPercent === null ? 'unknown' : 'known',
    result: toldPercent(resultPercent ?? 0),
  });
}

function strengthCheck({ freezePointRead }: TopUpSurroundings): Message[] {
  const check = message('top-up-water-weakens');
  return freezePointRead === 'before' ? [check, message('freeze-point-read-too-soon')] : [check];
}
