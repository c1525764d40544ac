import type { VehicleConclusion } from '../../conclusions/store/vehicle-conclusion.js';
import type {
  JobRecord,
  Plans,
  StoredUsage,
  VehicleHistory,
} from '../../domain/conclusions/vehicle-history.js';
import { resets } from '../../domain/intervals/resets.js';
import type { WorkLine } from '../../domain/intervals/types.js';
import type { ImportReport } from '../../platform/csv/import-report.js';
import { contentHash } from '../../platform/access/content-hash.js';
import type { NewBaseline } from './baseline.queries.js';
import type { BaselineRow } from './baseline-csv.js';
import type { Message } from '../../domain/message.js';
import { message } from './baseline-messages.js';

/** A row that became a report of a vehicle. */
export interface Baseline {
  id: string;
  usageId: string | null;
  vehicleId: string;
  at: Date;
  hash: string;
  row: BaselineRow;
  work: WorkLine;
}

/**
 * The content by which a row is known again, whatever file it stands in. Distances to the metre
 * and hours to their hundredth: the same in miles and in kilometres.
 */
export function hashOfRow(vehicleId: string, { work, on, odometerKm, engineHours }: BaselineRow): string {
  const metres = odometerKm === null ? null : Math.round(odometerKm * 1000);
  const hundredths = engineHours === null ? null : Math.round(engineHours * 100);
  const { component, action, item = null } = work;
  return contentHash(['baseline', vehicleId, component, action, item, on, metres, hundredths]).toString(
    'hex',
  );
}

const unplaced = { odometerLifetimeKm: null, engineHoursLifetime: null };

/** Puts work into a vehicle's history as if it had been reported. */
export function addTo(history: VehicleHistory, baselines: readonly Baseline[]): void {
  const jobs = baselines.map(({ id, at, work }): JobRecord => ({
    id,
    at: at.getTime(),
    isBaseline: true,
    isReleased: false,
    lines: [{ ...work, failed: false, lot: null, partNumber: null }],
    ...unplaced,
  }));
  const usage = baselines.flatMap(({ usageId, at, row }): StoredUsage[] =>
    usageId === null
      ? []
      : [
          {
            id: usageId,
            at: at.getTime(),
            odometerKm: row.odometerKm,
            engineHours: row.engineHours,
            odometerReplaced: false,
            engineHoursReplaced: false,
            source: 'job',
            decision: null,
            heldAtArrival: null,
            status: 'held',
            reason: null,
            detail: null,
            ...unplaced,
          },
        ],
  );
  const inOrder = (a: { at: number; id: string }, b: { at: number; id: string }) =>
    a.at - b.at || (a.id < b.id ? -1 : 1);
  history.jobs = [...history.jobs, ...jobs].sort(inOrder);
  history.usage.readings = [...history.usage.readings, ...usage].sort(inOrder);
}

/** Takes work out of a history again. */
export function removeFrom(history: VehicleHistory, baselines: readonly Baseline[]): void {
  const ids = new Set(baselines.flatMap(({ id, usageId }) => [id, usageId]));
  history.jobs = history.jobs.filter(({ id }) => !ids.has(id));
  history.usage.readings = history.usage.readings.filter(({ id }) => !ids.has(id));
}

/** A counter that the vehicle's usage does not bear out. */
export interface Implausible {
  baseline: Baseline;
  detail: Message;
}

/**
 * The work whose counters do not agree with what else is known of a vehicle's usage: those that
 * would be held, and those by which a reading that was believed would no longer be.
 */
export function implausibleIn(
  { history, usage: { judged } }: VehicleConclusion,
  baselines: readonly Baseline[],
): Implausible[] {
  const counted = baselines.filter(({ usageId }) => usageId !== null);
  const byUsage = new Map(counted.map((baseline) => [baseline.usageId, baseline]));
  const found = new Map<string, Implausible>();
  for (const { id, status, detail } of judged) {
    if (status !== 'held' || detail === null) continue;
    const own = byUsage.get(id);
    if (own) {
      found.set(own.id, {
        baseline: own,
        detail: message('baseline-counter-held', { why: detail }),
      });
      continue;
    }
    const stored = history.usage.readings.find((reading) => reading.id === id);
    if (stored?.status !== 'accepted') continue;
    const before = counted.findLast(({ at }) => at.getTime() <= stored.at) ?? counted[0];
    if (!before || found.has(before.id)) continue;
    const at = new Date(stored.at).toISOString();
    found.set(before.id, { baseline: before, detail: message('baseline-counter-displaces', { at }) });
  }
  return [...found.values()];
}

/** Whether any interval that the vehicle is or was kept by starts anew with the work. */
export function isAskedFor(work: WorkLine, { assignments }: VehicleHistory, plans: Plans): boolean {
  return assignments.some(
    ({ planId }) => planId !== null && (plans.get(planId) ?? []).some((rule) => resets(work, rule)),
  );
}

/** Tells of the work that no interval of its vehicle counts from. */
export function noteUnasked(
  kept: readonly Baseline[],
  { histories, plans }: { histories: readonly VehicleHistory[]; plans: Plans },
  report: ImportReport,
): void {
  const byId = new Map(histories.map((history) => [history.vehicleId, history]));
  for (const { vehicleId, work, row } of kept) {
    const history = byId.get(vehicleId);
    if (!history || isAskedFor(work, history, plans)) continue;
    const detail = message('baseline-resets-nothing');
    report.notice({ line: row.line, column: 'component', detail });
  }
}

/** The reports as they are stored, each with the due lines that count from it now. */
export function baselineColumns(
  kept: readonly Baseline[],
  conclusions: readonly VehicleConclusion[],
): NewBaseline[] {
  const resetBy = new Map<string, string[]>();
  for (const { lines } of conclusions)
    for (const { id, lastDoneReportId: by } of lines)
      if (by !== null) resetBy.set(by, [...(resetBy.get(by) ?? []), id]);
  return kept.map(({ id, usageId, vehicleId, at, hash, row, work }) => {
    const { odometerKm, odometerUnit, engineHours } = row;
    return {
      ...{ id, usageId, vehicleId, at, odometerKm, odometerUnit, engineHours, contentHash: hash, ...work },
      outcome: { verdict: 'pass', resets: resetBy.get(id) ?? [], followUps: [], alerts: [], held: [] },
    };
  });
}
