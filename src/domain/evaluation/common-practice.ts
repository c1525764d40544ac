import { convert } from '../quantities/units.js';

/** What 1,000 km are worth in hours of running; common practice. */
export const HOURS_PER_1000_KM = 25;

/**
 * Defaults of the trade for which no published source was found. A fleet can change each; every
 * answer that used one says "common practice" in its basis.
 */
export interface CommonPractice {
  vacuumAllowedLossKpa: number;
  pressureAllowedLossKpa: number;
  holdMinutes: number;
  vacuumGaugeResolutionKpa: number;
  pressureGaugeResolutionKpa: number;
  /** Above this a hold test says little: the coolant's own vapour takes part. */
  hotCoolantC: number;
  coolantChangeK: number;
  freezeMarginC: number;
  /** Expanded uncertainty (k = 2) of a hydrometer or a test strip. */
  stripUncertaintyC: number;
  trappedAirL: number;
  trappedAirShareOfCapacity: number;
  otherTechnologyShareOfCapacity: number;
  heavyDutyPhMin: number;
  heavyDutyPhMax: number;
  heavyDutyScaMinUnitsPerGallon: number;
  heavyDutyScaMaxUnitsPerGallon: number;
  /**
   * Nitrite in service, mg/L: of nitrited organic-acid coolant, and of conventional coolant around
   * wet liners.
   */
  nitriteMinNoatMgPerL: number;
  nitriteMinWetLinersMgPerL: number;
  /** With molybdate, less nitrite is enough: this much of both together, and this much of each. */
  nitriteWithMolybdateMinMgPerL: number;
  nitriteWithMolybdateEachMinMgPerL: number;
  capHoldsShare: number;
  capOpensShare: number;
  torqueTolerancePercent: number;
  /**
   * Standard uncertainty of a cold level: the larger of the two, for level checks and the loss
   * watch alike. The share is 0.3 L in a 40 L system, the noise that the
   * loss watch was simulated with.
   */
  levelUncertaintyL: number;
  levelUncertaintyShareOfCapacity: number;
  /** A road test this long has warmed the engine through. */
  roadTestMinutes: number;
  /** A thermostat that opens has brought the coolant to within this of where it opens. */
  stuckOpenMarginK: number;
  /** Running this near to boiling is too hot where the spec sheet has no alarm temperature. */
  boilingMarginK: number;
}

export const COMMON_PRACTICE: Readonly<CommonPractice> = {
  vacuumAllowedLossKpa: convert(1, 'inHg', 'kPa'),
  pressureAllowedLossKpa: 7,
  holdMinutes: 5,
  vacuumGaugeResolutionKpa: convert(0.5, 'inHg', 'kPa'),
  pressureGaugeResolutionKpa: convert(0.5, 'psi', 'kPa'),
  hotCoolantC: 40,
  coolantChangeK: 3,
  freezeMarginC: 3,
  stripUncertaintyC: 5,
  trappedAirL: 0.5,
  trappedAirShareOfCapacity: 0.05,
  otherTechnologyShareOfCapacity: 0.1,
  heavyDutyPhMin: 8.5,
  heavyDutyPhMax: 10.5,
  heavyDutyScaMinUnitsPerGallon: 1.5,
  heavyDutyScaMaxUnitsPerGallon: 3,
  nitriteMinNoatMgPerL: 300,
  nitriteMinWetLinersMgPerL: 800,
  nitriteWithMolybdateMinMgPerL: 780,
  nitriteWithMolybdateEachMinMgPerL: 300,
  capHoldsShare: 0.9,
  capOpensShare: 1.15,
  torqueTolerancePercent: 10,
  levelUncertaintyL: 0.15,
  levelUncertaintyShareOfCapacity: 0.0075,
  roadTestMinutes: 15,
  stuckOpenMarginK: 5,
  boilingMarginK: 10,
};
