import type { Placed } from '../../domain/conclusions/placing.js';
import { packMemory } from '../../domain/usage/pack-memory.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import type { VehicleConclusion } from './vehicle-conclusion.js';
import type { FoundAlert } from './alerts.writes.js';
import { type LineChanges, lineChangesOf } from './line-changes.js';
import { mayBeNews } from './news-of.js';
import type { SummaryRow } from './usage.writes.js';

/**
 * Collects what must be stored, vehicle by vehicle. The facts of a vehicle can be released before
 * the last vehicle is concluded.
 */
export class Changes {
  readonly judged: JudgedUsageReading[] = [];
  readonly summaries: SummaryRow[] = [];
  readonly jobs: Placed[] = [];
  readonly readings: Placed[] = [];
  readonly reEvaluations: Placed[] = [];
  readonly faults: Placed[] = [];
  readonly hotDays: Placed[] = [];
  readonly lines: LineChanges = { added: [], changed: [], closed: [] };
  readonly alerts: FoundAlert[] = [];
  readonly fallenAlerts: string[] = [];
  /** The vehicles that may have news. */
  readonly inTheNews: string[] = [];

  /** @param today in the fleet's zone */
  constructor(private readonly today: string) {}

  add(conclusion: VehicleConclusion): void {
    const { history, usage } = conclusion;
    this.judged.push(...usage.judged);
    if (history.usage.isChanged) this.summaries.push(summaryRowOf(conclusion));
    this.jobs.push(...conclusion.jobs);
    this.readings.push(...conclusion.readings);
    this.reEvaluations.push(...conclusion.reEvaluations);
    this.faults.push(...conclusion.faults);
    this.hotDays.push(...conclusion.hotDays);
    const lineChanges = lineChangesOf(conclusion);
    const { added, changed, closed } = lineChanges;
    this.lines.added.push(...added);
    this.lines.changed.push(...changed);
    this.lines.closed.push(...closed);
    this.alerts.push(...conclusion.alerts);
    this.fallenAlerts.push(...fallenAlertsOf(conclusion));
    if (mayBeNews(conclusion, lineChanges, this.today)) this.inTheNews.push(history.vehicleId);
  }
}

function summaryRowOf({ history, usage }: VehicleConclusion): SummaryRow {
  const { distance, engineHours, checkpoints, memory } = usage.conclusion();
  const json = (value: unknown): string | null => (value === null ? null : JSON.stringify(value));
  return {
    vehicleId: history.vehicleId,
    isNew: !history.hasSummary,
    distance: { ...distance, rate: json(distance.rate) },
    engineHours: { ...engineHours, rate: json(engineHours.rate) },
    memory: json(memory && packMemory(memory)),
    rememberedUntil: memory?.checkpoint.at ?? null,
    checkpoints: json(checkpoints),
    checkpointsUntil: checkpoints?.at(-1)?.at ?? null,
  };
}

function fallenAlertsOf({ history, alerts }: VehicleConclusion): string[] {
  const standing = new Set(alerts.map((alert) => alert.id));
  return history.alerts
    .filter((alert) => alert.isStanding && !standing.has(alert.id))
    .map((alert) => alert.id);
}
