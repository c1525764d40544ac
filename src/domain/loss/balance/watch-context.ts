import { ImpossibleValue } from '../../impossible-value.js';
import { told } from '../../quantities/told.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import type { LossCohort, VehicleFacts } from '../facts/types.js';
import { message } from '../messages.js';

/** What does not change while one vehicle's history is read. */
export interface WatchContext {
  capacityL: number;
  isCapacityKnown: boolean;
  /** From MIN to MAX on the reservoir, in L; null where unknown. */
  minToMaxL: number | null;
  /** Standard uncertainty of one level reading, in L. */
  levelNoiseL: number;
  cohort: LossCohort;
  isCohortKnown: boolean;
  settings: LossSettings;
}

/** What holds for a vehicle throughout: its capacity and usual loss, or what is assumed of them. */
export function contextOf(facts: VehicleFacts, settings: LossSettings = LOSS_DEFAULTS): WatchContext {
  const capacityL = facts.sheet?.capacityL ?? settings.assumedCapacityL;
  if (!(capacityL > 0)) {
    const capacity = told('volume', capacityL, 'L', 'exact');
    const detail = message('loss-capacity-not-above-zero', { capacity });
    throw new ImpossibleValue({ field: 'capacity', value: capacityL, limit: { above: 0 }, detail });
  }
  return {
    capacityL,
    isCapacityKnown: facts.sheet !== null,
    minToMaxL: facts.sheet?.minToMaxL ?? null,
    levelNoiseL: Math.max(
      facts.levelUncertainty?.levelUncertaintyL ?? settings.levelNoiseL,
      (facts.levelUncertainty?.levelUncertaintyShareOfCapacity ?? settings.levelNoiseShare) * capacityL,
    ),
    cohort: {
      mu0: Math.max(settings.floorMu0, facts.cohort?.mu0 ?? 0),
      sigma: Math.max(settings.floorSigma, facts.cohort?.sigma ?? 0),
    },
    isCohortKnown: facts.cohort !== null,
    settings,
  };
}
