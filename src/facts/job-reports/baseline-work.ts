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

/** A row of the file, made into a report of a vehicle. */
export interface Baseline {
  id: string;
  usageId: string | null;
  vehicleId: string;
  at: Date;
  hash: string;
  row: BaselineRow;
  /** Those of the vehicle's sheet. */
  belts: { name: string }[];
  work: WorkLine;
}

/**
 * The hash that identifies a row, whatever file it is in. Distances are rounded to a metre and
 * hours to a hundredth, so the hash is the same in miles and in kilometres.
 *
 * @param work its circuit as it is recorded, so that naming the first makes no difference
 */
export function hashOfRow(
  vehicleId: string,
  { on, odometerKm, engineHours }: BaselineRow,
  work: WorkLine,
): string {
  const metres = odometerKm === null ? null : Math.round(odometerKm * 1000);
  const hundredths = engineHours === null ? null : Math.round(engineHours * 100);
  const { component, action, item, circuit } = work;
  const what = ['baseline', vehicleId, component, action, item, on, metres, hundredths];
  return contentHash(circuit == null ? what : [...what, circuit]).toString('hex');
}

const unplaced = { odometerLifetimeKm: null, engineHoursLifetime: null };

/** Adds work to a vehicle's history as if it had been reported. */
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

/** Removes work from a history again. */
export function removeFrom(history: VehicleHistory, baselines: readonly Baseline[]): void {
  const ids = new Set(baselines.flatMap(({ id, usageId }) => [id, usageId]));
  history.jobs = history.jobs.filter(({ id }) => !ids.has(id));
  history.usage.readings = history.usage.readings.filter(({ id }) => !ids.has(id));
}

/** A counter that contradicts the vehicle's usage. */
export interface Implausible {
  baseline: Baseline;
  detail: Message;
}

/**
 * The work whose counters contradict the vehicle's other usage: counters that would be held, and
 * counters that would make a believed reading held.
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

/** Whether the work resets any interval that applies or once applied to the vehicle. */
export function isAskedFor(work: WorkLine, { assignments }: VehicleHistory, plans: Plans): boolean {
  return assignments.some(
    ({ planId }) => planId !== null && (plans.get(planId) ?? []).some((rule) => resets(work, rule)),
  );
}

/** Notes the work that resets no interval of its vehicle. */
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

/** The reports as they are stored, each with the due lines that now count from it. */
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
    const { component, action, item, circuit = null } = work;
    return {
      ...{ id, usageId, vehicleId, at, odometerKm, odometerUnit, engineHours, contentHash: hash },
      ...{ component, action, item, circuit },
      outcome: { verdict: 'pass', resets: resetBy.get(id) ?? [], followUps: [], alerts: [], held: [] },
    };
  });
}
