import { type DefectState, standingOf } from '../defects/defect.js';
import type { DefectRecord, Position, VehicleHistory } from './vehicle-history.js';

/** A defect with what follows from the facts: its state, and where it lies on the usage. */
export interface ConcludedDefect extends Position {
  id: string;
  state: DefectState;
  repairedBy: string | null;
}

/**
 * Concludes the states of a vehicle's defects.
 *
 * @param history with the defects as they are stored
 * @param placed the same defects, placed on the vehicle's usage
 * @returns the defects as concluded, and those of them that are not stored so
 */
export function concludeDefects(
  { jobs, defects: stored }: Pick<VehicleHistory, 'jobs' | 'defects'>,
  placed: readonly DefectRecord[],
): { facts: DefectRecord[]; changed: ConcludedDefect[] } {
  const facts = placed.map((defect) => {
    const { state, repairedBy } = standingOf(defect, jobs);
    return { ...defect, state, repairedBy };
  });
  const changed = facts.flatMap((defect, index): ConcludedDefect[] => {
    const before = stored[index];
    if (before !== undefined && isSame(before, defect)) return [];
    const { id, state, repairedBy, odometerLifetimeKm, engineHoursLifetime } = defect;
    return [{ id, state, repairedBy, odometerLifetimeKm, engineHoursLifetime }];
  });
  return { facts, changed };
}

function isSame(left: ConcludedDefect, right: ConcludedDefect): boolean {
  return (
    left.state === right.state &&
    left.repairedBy === right.repairedBy &&
    left.odometerLifetimeKm === right.odometerLifetimeKm &&
    left.engineHoursLifetime === right.engineHoursLifetime
  );
}
