import { COMMON_PRACTICE, type CommonPractice } from '../evaluation/common-practice.js';
import { plain } from '../quantities/wording.js';
import { baseInWords, type CoolantBase, type CoolantTechnology, type Poured } from '../coolant/coolant.js';

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
  otherTechnology: boolean;
  /** Coolant of another technology in the system, this one included, as a share of capacity; null when the capacity is unknown. */
  otherTechnologyShare: number | null;
  /** More of another technology than is harmless: a follow-up, and the shorter coolant's life counts. */
  shortensLife: boolean;
  fails: string[];
  cautions: string[];
  basis: string[];
}

/**
 * The consequences of pouring a coolant into a system that holds another. Water has neither base nor technology. Colour is never evidence and is not asked for.
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
  const fails: string[] = [];
  const cautions: string[] = [];
  const basis: string[] = [];
  const basesInSystem = [
    system.base,
    ...system.earlier.map(({ base }) => base),
    ...(system.basesSinceFlush ?? []),
  ].filter((base) => base !== null);
  const clashing = poured.base === null ? undefined : basesInSystem.find((base) => base !== poured.base);
  if (poured.base !== null && clashing !== undefined) {
    fails.push(
      poured.base === system.base
        ? `${capitalised(baseInWords(clashing))} is still in the system; a drain does not get it out. Flush, then refill. No freeze-point reading counts until then.`
        : `${capitalised(baseInWords(poured.base))} was poured into a system with ${baseInWords(clashing)}: flush it and refill. ${DRAIN_LEAVES}, and no freeze-point reading counts until it is flushed.`,
    );
  }
  const meant = system.technology;
  const otherTechnology = meant !== null && poured.technology !== null && poured.technology !== meant;
  const otherL = [...system.earlier, poured]
    .filter(({ technology }) => meant !== null && technology !== null && technology !== meant)
    .reduce((sum, { volumeL }) => sum + volumeL, 0);
  const otherTechnologyShare =
    meant === null || system.capacityL === null ? null : Math.min(1, otherL / system.capacityL);
  const shortensLife =
    otherTechnology &&
    otherTechnologyShare !== null &&
    otherTechnologyShare > practice.otherTechnologyShareOfCapacity;
  if (otherTechnology) {
    const share =
      otherTechnologyShare === null ? '' : ` (${plain(100 * otherTechnologyShare)} % of capacity in total)`;
    cautions.push(
      `${poured.technology} coolant was poured into a system meant for ${meant}${share}${shortensLife ? ": count the shorter coolant's life and test the coolant" : ''}. Colour tells nothing about the technology.`,
    );
    basis.push(
      `another technology matters above ${plain(100 * practice.otherTechnologyShareOfCapacity)} % of capacity in total (common practice)`,
    );
  }
  return {
    otherBase: clashing !== undefined,
    otherTechnology,
    otherTechnologyShare,
    shortensLife,
    fails,
    cautions,
    basis,
  };
}

function capitalised(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
