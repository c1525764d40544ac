import { LOSS_DEFAULTS } from '../loss/facts/settings.js';
import type { LossAlertEpisode } from '../loss/facts/types.js';
import { watchVehicle } from '../loss/alerts/watch-vehicle.js';
import { beforeWindowOf } from './before-window.js';
import { type ConcludedUsage, concludeUsage } from './conclude-usage.js';
import { NeedsAllFacts } from './counter-view.js';
import { followUpLines } from './follow-up-lines.js';
import { intervalLines } from './interval-lines.js';
import { vehicleFacts, watchedCircuits } from './loss-facts.js';
import { place, type Placed } from './placing.js';
import type { ConcludedLine } from './stored-line.js';
import type { Plans, VehicleHistory } from './vehicle-history.js';

/** What conclusions depend on besides the facts. */
export interface Setting {
  /** The fleet's. */
  timeZone: string;
  /** Until when the loss watch looks, in epoch milliseconds. */
  asOf: number;
}

/** What follows from the facts of one vehicle. */
export interface Derived {
  usage: ConcludedUsage;
  lines: ConcludedLine[];
  alerts: LossAlertEpisode[];
  /**
   * The jobs, readings, re-evaluations, faults and hot days that lie elsewhere on the vehicle's
   * usage than before.
   */
  jobs: Placed[];
  readings: Placed[];
  reEvaluations: Placed[];
  faults: Placed[];
  hotDays: Placed[];
}

/**
 * Derives the conclusions about one vehicle from its facts: how its usage readings are judged,
 * where each fact lies on its usage, its due lines and its loss alerts.
 *
 * @param plans every interval plan that the vehicle ever had, by id
 * @returns null if the loaded facts are not enough; with all facts it never is
 * @example derive(history, plans, { timeZone: 'America/Denver', asOf })?.lines.length // 4
 */
export function derive(history: VehicleHistory, plans: Plans, setting: Setting): Derived | null {
  try {
    return deriveFromLoaded(history, plans, setting);
  } catch (error) {
    if (error instanceof NeedsAllFacts) return null;
    throw error;
  }
}

/** @throws NeedsAllFacts where the facts that were loaded do not suffice */
function deriveFromLoaded(history: VehicleHistory, plans: Plans, { timeZone, asOf }: Setting): Derived {
  const usage = concludeUsage(history, timeZone);
  const jobs = place(history.jobs, usage, timeZone);
  const readings = place(history.readings ?? [], usage, timeZone);
  const reEvaluations = place(history.reEvaluations, usage, timeZone);
  const faults = place(history.faults, usage, timeZone);
  const hotDays = place(history.hotDays, usage, timeZone);
  const placed = {
    ...history,
    jobs: jobs.facts,
    readings: history.readings && readings.facts,
    reEvaluations: reEvaluations.facts,
    faults: faults.facts,
    hotDays: hotDays.facts,
  };
  return {
    usage,
    lines: [...intervalLines(placed, plans, usage, timeZone), ...followUpLines(placed, usage, timeZone)],
    alerts: lossAlerts(placed, plans, timeZone, asOf),
    jobs: jobs.moved,
    readings: readings.moved,
    reEvaluations: reEvaluations.moved,
    faults: faults.moved,
    hotDays: hotDays.moved,
  };
}

/** What the loss watch finds in a vehicle's history; nothing where its readings were not loaded. */
function lossAlerts(
  history: VehicleHistory,
  plans: Plans,
  timeZone: string,
  asOf: number,
): LossAlertEpisode[] {
  if (history.readings === null) return [];
  const beforeWindow = beforeWindowOf(history, plans, timeZone);
  return watchedCircuits(history).flatMap((circuit) =>
    watchVehicle(vehicleFacts(history, beforeWindow, circuit), LOSS_DEFAULTS, new Date(asOf).toISOString()),
  );
}
