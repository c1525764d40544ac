import type { Atmosphere } from '../../atmosphere/atmosphere.js';
import { BOIL_OVER_UNCERTAINTY_K, boilOverC } from '../../coolant/boil-over.js';
import type { CoolantBase } from '../../coolant/coolant.js';
import { massPercentFromVolume } from '../../coolant/strength-conversion.js';
import { ImpossibleValue } from '../../impossible-value.js';
import type { Message } from '../../message.js';
import { measure, type Measure } from '../../quantities/measures.js';
import { toldChange } from '../../quantities/told.js';
import { message } from '../messages.js';

/** Where the coolant boils at the place of work. */
export interface BoilOverForJob {
  strengthPercent: number;
  capRating: Measure | null;
  /** Under the cap; null where its rating is not known. */
  boilsAt: Measure | null;
  /** With the cap off or leaking. The difference is the margin that a good cap gives. */
  boilsOpenAt: Measure;
}

/**
 * Where the coolant boils at a place, under the cap and without it.
 *
 * Source: Raoult's law with the saturation line of IAPWS-IF97 (`boilOverC`), good to ±1.5 K.
 *
 * @param base of the coolant
 * @param strengthPercent volume %
 * @param capRatingKpa kPa gauge, or null
 * @param atmosphere at the place of work
 * @throws ImpossibleValue for nearly neat glycol.
 * @example boilOverForJob('ethylene-glycol', 50, 103.42, atmosphereAt({ elevationM: 0 })).boilOver.boilsAt // about 130.0 °C
 */
export function boilOverForJob(
  base: CoolantBase,
  strengthPercent: number,
  capRatingKpa: number | null,
  atmosphere: Atmosphere,
): { boilOver: BoilOverForJob; basis: Message[] } {
  const massPercent = massPercentFromVolume(base, strengthPercent);
  const boilsC = (gaugeKpa: number): number => boilOverC(base, massPercent, atmosphere.kpa + gaugeKpa);
  return {
    boilOver: {
      strengthPercent,
      capRating: capRatingKpa === null ? null : measure('pressure', capRatingKpa),
      boilsAt: capRatingKpa === null ? null : measure('temperature', boilsC(capRatingKpa)),
      boilsOpenAt: measure('temperature', boilsC(0)),
    },
    basis: [
      message('basis-card-boiling', {
        ...{ volumePercent: strengthPercent, massPercent },
        uncertainty: toldChange(BOIL_OVER_UNCERTAINTY_K),
      }),
    ],
  };
}

/**
 * The same for a spec sheet, which may lack the cap's rating or have a coolant too strong for the
 * sum.
 *
 * @param sheet strength in volume %, rating in kPa gauge
 * @returns null where no boiling point can be worked out, and what kept it from being complete
 */
export function boilOverOfSheet(
  sheet: { base: CoolantBase; strengthPercent: number; capRatingKpa: number | null },
  atmosphere: Atmosphere,
): { boilOver: BoilOverForJob | null; missing: Message[]; basis: Message[] } {
  const { base, strengthPercent, capRatingKpa } = sheet;
  const missing = capRatingKpa === null ? [message('card-no-cap-rating')] : [];
  try {
    return { ...boilOverForJob(base, strengthPercent, capRatingKpa, atmosphere), missing };
  } catch (error) {
    if (!(error instanceof ImpossibleValue)) throw error;
    return {
      boilOver: null,
      missing: [...missing, message('card-no-boiling-point', { why: error.detail })],
      basis: [],
    };
  }
}
