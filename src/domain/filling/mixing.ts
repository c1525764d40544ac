import { baseTerm, type CoolantBase, type CoolantTechnology, type Poured } from '../coolant/coolant.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import type { Message } from '../message.js';
import { message } from './messages.js';

/** The coolant that a system is meant to hold, and what is known to be in it. */
export interface SystemCoolant {
  base: CoolantBase | null;
  technology: CoolantTechnology | null;
  capacityL: number | null;
  /** Poured in since the coolant was last replaced. */
  earlier: readonly Poured[];
  /**
   * What was poured in since the last flush: a drain alone leaves about a third of the coolant.
   */
  basesSinceFlush?: readonly CoolantBase[];
}

/** What comes of pouring something in. */
export interface MixingConsequences {
  /** Ethylene and propylene glycol together: a fail, and the system is to be flushed. */
  otherBase: boolean;
  /**
   * More of another technology than is harmless: a follow-up, and the shorter coolant's life
   * counts.
   */
  shortensLife: boolean;
  fails: Message[];
  cautions: Message[];
  basis: Message[];
}

/**
 * The consequences of pouring a coolant into a system that holds another. Water has neither base
 * nor technology. Colour is never evidence and is not asked for.
 *
 * Source: common practice; another base: its freeze point cannot be read on any scale.
 *
 * @param poured volume in L
 * @param system capacity in L
 * @example pouringConsequences({ base: 'propylene-glycol', technology: 'OAT', volumeL: 1 }, { base: 'ethylene-glycol', technology: 'OAT', capacityL: 12, earlier: [] }).otherBase // true
 */
export function pouringConsequences(
  poured: Poured,
  system: SystemCoolant,
  practice: CommonPractice = COMMON_PRACTICE,
): MixingConsequences {
  const clashing = clashingBase(poured, system);
  const otherTechnology = otherTechnologyPoured(poured, system, practice);
  return {
    otherBase: clashing !== null,
    shortensLife: otherTechnology?.shortensLife ?? false,
    fails: clashing === null ? [] : [clashing],
    cautions: otherTechnology === null ? [] : [otherTechnology.caution],
    basis: otherTechnology === null ? [] : [otherTechnology.basis],
  };
}

/**
 * What is to be done where glycols of two bases have met; null where they have not. That a drain
 * leaves about a third in block and heater is common practice, no published source.
 */
function clashingBase({ base }: Poured, system: SystemCoolant): Message | null {
  if (base === null) return null;
  const other = [
    system.base,
    ...system.earlier.map((earlier) => earlier.base),
    ...(system.basesSinceFlush ?? []),
  ].find((known) => known !== null && known !== base);
  if (other == null) return null;
  return base === system.base
    ? message('coolant-other-base-remains', { base: baseTerm(other) })
    : message('coolant-other-base-poured', { poured: baseTerm(base), other: baseTerm(other) });
}

/**
 * What comes of another technology; null where this is the one that the system is meant for, or not
 * known.
 */
function otherTechnologyPoured(
  poured: Poured,
  { technology: meant, capacityL, earlier }: SystemCoolant,
  { otherTechnologyShareOfCapacity: harmless }: CommonPractice,
): { shortensLife: boolean; caution: Message; basis: Message } | null {
  if (meant === null || poured.technology === null || poured.technology === meant) return null;
  const otherL = [...earlier, poured]
    .filter(({ technology }) => technology !== null && technology !== meant)
    .reduce((sum, { volumeL }) => sum + volumeL, 0);
  const share = capacityL === null ? null : Math.min(1, otherL / capacityL);
  const shortensLife = share !== null && share > harmless;
  return {
    shortensLife,
    caution: message('caution-other-technology', {
      poured: poured.technology,
      meant,
      share: share === null ? 'unknown' : 'known',
      percent: 100 * (share ?? 0),
      shortens: shortensLife ? 'yes' : 'no',
    }),
    basis: message('basis-other-technology', { percent: 100 * harmless }),
  };
}
