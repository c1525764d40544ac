import { baseInWords, type CoolantBase, type CoolantTechnology, type Poured } from '../coolant/coolant.js';
import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import { plain } from '../quantities/wording.js';

/** Common practice, no published source: what a drain leaves in block and heater core. */
const DRAIN_LEAVES = 'A drain alone leaves about a third in the block and heater';

/** The coolant that a system is meant to hold, and what is known to be in it. */
export interface SystemCoolant {
  base: CoolantBase | null;
  technology: CoolantTechnology | null;
  capacityL: number | null;
  /** Poured in since the coolant was last replaced. */
  earlier: readonly Poured[];
  /**
   * What was poured in since the system was last flushed: a drain alone leaves about a third of it.
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
  fails: string[];
  cautions: string[];
  basis: string[];
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

/** What is to be done where glycols of two bases have met; null where they have not. */
function clashingBase({ base }: Poured, system: SystemCoolant): string | null {
  if (base === null) return null;
  const other = [
    system.base,
    ...system.earlier.map((earlier) => earlier.base),
    ...(system.basesSinceFlush ?? []),
  ].find((known) => known !== null && known !== base);
  if (other == null) return null;
  return base === system.base
    ? `${capitalised(baseInWords(other))} is still in the system; a drain does not get it out. Flush, then refill. No freeze-point reading counts until then.`
    : `${capitalised(baseInWords(base))} was poured into a system with ${baseInWords(other)}: flush it and refill. ${DRAIN_LEAVES}, and no freeze-point reading counts until it is flushed.`;
}

/**
 * What comes of another technology; null where this is the one that the system is meant for, or not
 * known.
 */
function otherTechnologyPoured(
  poured: Poured,
  { technology: meant, capacityL, earlier }: SystemCoolant,
  { otherTechnologyShareOfCapacity: harmless }: CommonPractice,
): { shortensLife: boolean; caution: string; basis: string } | null {
  if (meant === null || poured.technology === null || poured.technology === meant) return null;
  const otherL = [...earlier, poured]
    .filter(({ technology }) => technology !== null && technology !== meant)
    .reduce((sum, { volumeL }) => sum + volumeL, 0);
  const share = capacityL === null ? null : Math.min(1, otherL / capacityL);
  const shortensLife = share !== null && share > harmless;
  const ofCapacity = share === null ? '' : ` (${plain(100 * share)} % of capacity in total)`;
  return {
    shortensLife,
    caution: `${poured.technology} coolant was poured into a system meant for ${meant}${ofCapacity}${shortensLife ? ": count the shorter coolant's life and test the coolant" : ''}. Colour tells nothing about the technology.`,
    basis: `another technology matters above ${plain(100 * harmless)} % of capacity in total (common practice)`,
  };
}

function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
