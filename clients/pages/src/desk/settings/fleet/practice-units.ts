import type { CommonPractice } from '../../../../../../src/domain/evaluation/common-practice.js';

export type PracticeName = keyof CommonPractice;

/** The unit in which the service keeps each value, whatever units the fleet reads. */
export const PRACTICE_UNITS: Readonly<Record<PracticeName, string>> = {
  ...{ vacuumAllowedLossKpa: 'kPa', pressureAllowedLossKpa: 'kPa', holdMinutes: 'min' },
  ...{ vacuumGaugeResolutionKpa: 'kPa', pressureGaugeResolutionKpa: 'kPa' },
  ...{ hotCoolantC: '°C', coolantChangeK: 'K', freezeMarginC: 'K', stripUncertaintyC: 'K' },
  ...{ trappedAirL: 'L', trappedAirShareOfCapacity: '', otherTechnologyShareOfCapacity: '' },
  ...{ heavyDutyPhMin: '', heavyDutyPhMax: '' },
  ...{ heavyDutyScaMinUnitsPerGallon: '', heavyDutyScaMaxUnitsPerGallon: '' },
  ...{ nitriteMinNoatMgPerL: 'mg/L', nitriteMinWetLinersMgPerL: 'mg/L' },
  ...{ nitriteWithMolybdateMinMgPerL: 'mg/L', nitriteWithMolybdateEachMinMgPerL: 'mg/L' },
  ...{ capHoldsShare: '', capOpensShare: '', torqueTolerancePercent: '%' },
  ...{ levelUncertaintyL: 'L', levelUncertaintyShareOfCapacity: '' },
  ...{ roadTestMinutes: 'min', stuckOpenMarginK: 'K', boilingMarginK: 'K' },
};
