import { ImpossibleValue } from '../../impossible-value.js';
import { EMPTY_BALANCE, takeIntoBalance, type CoolantBalance, type LaidUpSpan } from './coolant-balance.js';
import type { Moment, WatchContext } from '../rules/rule.js';
import { LOSS_DEFAULTS, type LossSettings } from '../facts/settings.js';
import { inTimeOrder } from '../facts/time-order.js';
import type { AlertActionFact, VehicleFacts } from '../facts/types.js';
import { instantMs, type UsagePoint } from '../facts/usage-span.js';

/** What holds for a vehicle throughout: its capacity and usual loss, or what is assumed of them. */
export function contextOf(facts: VehicleFacts, settings: LossSettings = LOSS_DEFAULTS): WatchContext {
  const capacityL = facts.sheet?.capacityL ?? settings.assumedCapacityL;
  if (!(capacityL > 0)) {
    const detail = `capacity of ${capacityL} L: it must be above 0`;
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

/**
 * Each coolant fact up to an instant with what the coolant balance makes of it, in time order; actions on alerts as they stand between them.
 */
export function momentsOf(
  facts: VehicleFacts,
  context: WatchContext,
  asOf: string,
): (Moment | AlertActionFact)[] {
  const laidUp: LaidUpSpan[] = (facts.laidUp ?? []).map((span) => ({
    fromMs: instantMs(span.fromAt),
    toMs: span.toAt === null ? Infinity : instantMs(span.toAt),
  }));
  let balance: CoolantBalance = EMPTY_BALANCE;
  return inTimeOrder(facts.events, asOf).map(({ fact, ms }) => {
    if (fact.kind === 'alert-action') return fact;
    const point: UsagePoint = { ms, odometerKm: fact.odometerKm, engineHours: fact.engineHours };
    const { balance: after, ...taken } = takeIntoBalance(balance, fact, point, laidUp, context);
    balance = after;
    return { fact, point, ...taken };
  });
}
