import type { BeltTensionLimits } from '../../belt/belt-tension.js';
import type { CommonPractice } from '../../evaluation/common-practice.js';
import type { CoolantAdditive } from '../../coolant-condition/additive-dose.js';
import type { CoolantConditionLimits } from '../../coolant-condition/coolant-condition.js';
import type { CoolantBase, CoolantTechnology, Poured } from '../../coolant/coolant.js';
import type { FastenerGroup } from '../../fastening/fastener-group.js';
import type { SheetValue } from '../../evaluation/starter-mark.js';
import type { Whereabouts } from '../../atmosphere/atmosphere.js';

/** The coolant part of a spec sheet. */
export interface CoolantSpec {
  base?: CoolantBase | null;
  technology?: CoolantTechnology | null;
  capacityL?: number | null;
  drainableL?: number | null;
  targetStrengthPercent?: number | null;
  strengthMaxPercent?: number | null;
  capRatingKpa?: number | null;
  maxTestPressureKpa?: number | null;
  thermostatOpensC?: number | null;
  highTemperatureAlarmC?: number | null;
  /** From MIN to MAX on the reservoir. */
  minToMaxL?: number | null;
  additive?: CoolantAdditive | null;
}

/** The hold-test procedure of a spec sheet; the target of a vacuum is the one at sea level. */
export interface HoldTestSpec {
  method?: 'vacuum' | 'pressure' | null;
  targetKpa?: number | null;
  minutes?: number | null;
  allowedLossKpa?: number | null;
}

/** A belt of the spec sheet. */
export interface BeltOnSheet {
  name: string;
  designation: string | null;
  /** Where it is tensioned by hand. */
  tension?: BeltTensionLimits | null;
  /** Where an automatic tensioner keeps it tight, mm. */
  tensionerArmSwingMaxMm?: number | null;
}

/**
 * Everything needed to judge readings. Any of it may be unknown; then a default is used and named
 * in the basis, or the reasons say what is missing.
 */
export interface ReadingContext extends Whereabouts {
  coolant?: CoolantSpec | null;
  holdTest?: HoldTestSpec | null;
  fasteners?: readonly FastenerGroup[];
  belts?: readonly BeltOnSheet[];
  conditionLimits?: CoolantConditionLimits | null;
  heavyDuty?: boolean | null;
  /** Whether coolant runs around the cylinder liners. */
  wetLiners?: boolean | null;
  /** The day of the readings in the fleet's zone, a civil date. */
  takenOn?: string | null;
  /** Where the work was done, m; a barometer reading comes before it. */
  elevationM?: number | null;
  barometerKpa?: number | null;
  designLowTemperatureC?: number | null;
  /**
   * Coolant poured in since the coolant was last replaced, before these readings; empty at a job
   * that replaced it.
   */
  pouredSinceReplacement?: readonly Poured[];
  /**
   * Bases poured in since the system was last flushed, before these readings; empty at a job that
   * flushed it.
   */
  basesSinceFlush?: readonly CoolantBase[];
  /** Latest known strength in the system before these readings, volume %. */
  strengthPercent?: number | null;
  /** Strength of what stayed in the system at a fill, volume %; 0 after a water flush. */
  stayedStrengthPercent?: number | null;
  /** The values of the sheet that are ready-made, and not yet confirmed or replaced. */
  starterValues?: readonly SheetValue[];
  /** What the fleet changed of the trade's defaults. */
  practice?: Partial<CommonPractice>;
}

/** Where the readings were taken. */
export function placeOf({ elevationM, barometerKpa }: ReadingContext): Whereabouts {
  return { elevationM, barometerKpa };
}

/** The strength in the system: the latest known, else the one that the sheet asks for; volume %. */
export function strengthInSystem({ strengthPercent, coolant }: ReadingContext): number | null {
  return strengthPercent ?? coolant?.targetStrengthPercent ?? null;
}
