import { lineKey } from '../intervals/resets.js';
import type { IntervalRule } from '../intervals/types.js';
import { recordedCircuit, type VehicleCircuits } from '../vehicles/circuits.js';
import type { Plans, VehicleHistory } from './vehicle-history.js';

const known = new WeakMap<readonly IntervalRule[], Map<string, readonly IntervalRule[]>>();

/**
 * The intervals of a plan that apply to a vehicle with these circuits. An interval that names no
 * circuit is for the first. One for a circuit that the vehicle does not have does not apply. Where
 * two are for the same work, one of them by the circuit's name, that one counts.
 *
 * @returns the circuit of each null where it is the vehicle's first
 */
export function intervalsIn(
  { circuits }: Pick<VehicleHistory, 'circuits'>,
  plans: Plans,
  planId: string | null,
): readonly IntervalRule[] {
  const intervals = planId === null ? undefined : plans.get(planId);
  if (intervals === undefined) return [];
  const key = [circuits.first, ...circuits.others].join();
  const ofPlan = known.get(intervals) ?? new Map<string, readonly IntervalRule[]>();
  known.set(intervals, ofPlan);
  let found = ofPlan.get(key);
  if (found === undefined) ofPlan.set(key, (found = applying(intervals, circuits)));
  return found;
}

function applying(intervals: readonly IntervalRule[], circuits: VehicleCircuits): readonly IntervalRule[] {
  if (intervals.every(({ circuit }) => circuit == null)) return intervals;
  const named = new Set(
    intervals.flatMap((interval) =>
      interval.circuit === circuits.first ? lineKey({ ...interval, circuit: null }) : [],
    ),
  );
  return intervals.flatMap((interval): IntervalRule[] => {
    const { circuit } = interval;
    if (circuit == null) return named.has(lineKey(interval)) ? [] : [interval];
    if (circuit !== circuits.first && !circuits.others.includes(circuit)) return [];
    return [{ ...interval, circuit: recordedCircuit(circuit, circuits) }];
  });
}
