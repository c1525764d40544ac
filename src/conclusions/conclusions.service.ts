import { Inject, Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import type { LossAlertEpisode } from '../domain/loss/types.js';
import type { JudgedReading } from '../domain/usage/types.js';
import { civilDateAt } from '../domain/calendar/zone.js';
import { Clock } from '../platform/clock/clock.js';
import { forEachYielding } from '../platform/concurrency/yielding.js';
import { afterCommit } from '../platform/database/after-commit.js';
import { fleetScope } from '../platform/scope/fleet-scope.js';
import { pipelined } from '../platform/database/pipelined.js';
import { SweepCalls } from '../sweep-requests/sweep-calls.js';
import { requestSweeps } from '../sweep-requests/sweep-requests.queries.js';
import { beforeWindowOf } from './before-window.js';
import { concludeAlerts } from './conclude-alerts.js';
import { concludeLines } from './conclude-lines.js';
import { reEvaluate } from './re-evaluate.js';
import { type ConcludedUsage, concludeUsage, positionAt } from './conclude-usage.js';
import { NeedsAllFacts } from './counter-view.js';
import { Changes } from './changes.js';
import type { VehicleConclusion } from './vehicle-conclusion.js';
import {
  type FoundAlert,
  insertReEvaluations,
  lineIdentity,
  type NewReEvaluation,
  type ReEvaluationCause,
  saveAlerts,
  saveLines,
  saveUsage,
  summaryColumns,
} from './conclusions.writes.js';
import { lineColumns } from './due-line-columns.js';
import type { ConcludedLine, Plans, Position, StoredLine, StoredUsage, VehicleHistory } from './history.js';
export type { VehicleConclusion } from './vehicle-conclusion.js';
import { loadFacts, loadStanding, loadUsage, loadVehicles, usageNeed } from './history.queries.js';

/** What changed about a vehicle. */
export interface VehicleChange {
  vehicleId: string;
  /** The earliest instant at which a usage reading came, went or changed standing; null when none did. */
  usageFrom: Date | null;
  /** Whether unchanged lines may be news: the audience changed, or the day did. */
  isToldAnew?: boolean;
  /** Whether other targets may hear of the vehicle than before: of its alerts and readings, too. */
  isMoved?: boolean;
}

/** Which vehicles a wider change touches. */
export type Touched = { intervalPlanId: string } | { specSheetId: string } | { depotId: string } | 'all';

/** The recorded facts of some vehicles, ready to be concluded from. */
export interface Loaded {
  histories: VehicleHistory[];
  plans: Plans;
}

/** How many vehicles are concluded at a time when many are touched. */
const CHUNK = 500;

/** Draws the conclusions: due lines, usage summaries and loss alerts, from the facts that are recorded. */
@Injectable()
export class ConclusionsService {
  constructor(
    private readonly clock: Clock,
    @Inject(SweepCalls) private readonly sweeps: Pick<SweepCalls, 'call'>,
  ) {}

  /**
   * Refreshes what is concluded about some vehicles, in the transaction that changed the facts. The number of statements does not
   * grow with the number of vehicles. The vehicles must be locked by the caller, or two writers could each miss the other's facts.
   *
   * @param factsChanged whether anything but usage changed: then follow-ups and alerts are concluded anew for all of them
   * @returns how the usage readings were judged, where that changed
   */
  async refresh(
    tx: EntityManager,
    changes: VehicleChange[],
    factsChanged = true,
  ): Promise<Map<string, JudgedReading>> {
    if (changes.length === 0) return new Map();
    return this.drawAndStore(tx, await this.load(tx, changes, factsChanged));
  }

  /**
   * As `refresh`, for usage readings that are new: they are concluded from, and stored by the caller as they are judged.
   *
   * @param added by the id of the vehicle
   * @returns how each of them, and what stood before, is judged
   */
  async refreshWithUsage(
    tx: EntityManager,
    added: ReadonlyMap<string, readonly StoredUsage[]>,
  ): Promise<Map<string, JudgedReading>> {
    if (added.size === 0) return new Map();
    const changes = [...added].map(([vehicleId, readings]) => ({
      vehicleId,
      usageFrom: new Date(Math.min(...readings.map(({ at }) => at))),
    }));
    const loaded = await this.load(tx, changes, false);
    for (const { vehicleId, usage } of loaded.histories) {
      usage.readings.push(...(added.get(vehicleId) ?? []));
      if (usage.readings.length > 1) usage.readings.sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
    }
    return this.drawAndStore(tx, loaded);
  }

  private async drawAndStore(tx: EntityManager, loaded: Loaded): Promise<Map<string, JudgedReading>> {
    const changes = this.noChanges();
    const judgements = new Map<string, JudgedReading>();
    await this.concludeEach(tx, loaded, (conclusion) => {
      changes.add(conclusion);
      const { judged, judgedNew } = conclusion.usage;
      for (const each of [judged, judgedNew]) for (const one of each) judgements.set(one.id, one);
    });
    await this.store(tx, changes);
    return judgements;
  }

  /**
   * As `refresh`, where the lowest temperature that the vehicles must stand may have become another: their latest strength is judged
   * anew. The verdict it had stays, with its limits.
   *
   * @param why what changed
   * @returns the vehicles whose strength was judged anew
   */
  async refreshJudgingAnew(
    tx: EntityManager,
    changes: VehicleChange[],
    why: ReEvaluationCause,
  ): Promise<string[]> {
    if (changes.length === 0) return [];
    const { fleetId, tokenId } = fleetScope();
    const now = this.clock.now();
    // From now on, so that what is judged anew is placed on the vehicle's usage.
    const loaded = await this.load(
      tx,
      changes.map((change) => ({ ...change, usageFrom: change.usageFrom ?? now })),
    );
    const made: NewReEvaluation[] = loaded.histories.flatMap((history) => {
      const record = reEvaluate(history, now.getTime());
      if (record === null) return [];
      history.reEvaluations.push(record);
      return [{ ...record, vehicleId: history.vehicleId, why }];
    });
    const conclusions = await this.conclude(tx, loaded);
    await insertReEvaluations(tx, fleetId, tokenId, made);
    await this.save(tx, conclusions);
    return made.map(({ vehicleId }) => vehicleId);
  }

  /** Refreshes the vehicles of a depot whose lowest temperature became another. @returns those whose strength was judged anew */
  async refreshDepot(tx: EntityManager, depotId: string): Promise<string[]> {
    const judged: string[] = [];
    for (const ids of await this.lockTouched(tx, { depotId })) {
      const changes = ids.map((vehicleId) => ({ vehicleId, usageFrom: null }));
      judged.push(...(await this.refreshJudgingAnew(tx, changes, 'depot-low-temperature')));
    }
    return judged;
  }

  /** Refreshes every vehicle that a change to a plan, sheet, depot or the fleet itself touches. */
  async refreshTouched(tx: EntityManager, touched: Touched): Promise<void> {
    const isAll = touched === 'all';
    // In another zone it may be another day, on which unchanged lines are in another state.
    const change = { usageFrom: isAll ? new Date(0) : null, isToldAnew: isAll };
    for (const ids of await this.lockTouched(tx, touched))
      await this.refresh(
        tx,
        ids.map((vehicleId) => ({ vehicleId, ...change })),
      );
  }

  private async lockTouched(tx: EntityManager, touched: Touched): Promise<string[][]> {
    const { fleetId } = fleetScope();
    const chunks = await this.touchedVehicles(tx, fleetId, touched);
    await tx.query(
      'select id from vehicles where fleet_id = $1 and id = any($2::uuid[]) order by id for no key update',
      [fleetId, chunks.flat()],
    );
    return chunks;
  }

  private async touchedVehicles(tx: EntityManager, fleetId: string, touched: Touched): Promise<string[][]> {
    const [kind, id] = touched === 'all' ? [null, null] : (Object.entries(touched)[0] ?? [null, null]);
    const where: Record<string, string> = {
      // A plan counts for as long as it was ever in force: the share used under it carries over.
      intervalPlanId:
        'and id in (select vehicle_id from vehicle_assignments where fleet_id = $1 and interval_plan_id = $2)',
      specSheetId: 'and spec_sheet_id = $2',
      depotId: 'and depot_id = $2',
    };
    const rows = await tx.query<{ id: string }[]>(
      `select id from vehicles where fleet_id = $1 ${kind === null ? 'and $2::uuid is null' : where[kind]} order by id`,
      [fleetId, id],
    );
    return chunksOf(
      rows.map((row) => row.id),
      CHUNK,
    );
  }

  /**
   * Loads what is recorded about the vehicles, as far as the changes need it.
   *
   * @param factsChanged whether anything but usage changed
   */
  async load(tx: EntityManager, changes: VehicleChange[], factsChanged = true): Promise<Loaded> {
    const { fleetId } = fleetScope();
    const { histories, plans } = await loadVehicles(
      tx,
      fleetId,
      changes.map(({ vehicleId, usageFrom }) => ({ vehicleId, changedFrom: usageFrom?.getTime() ?? null })),
    );
    const changedFrom = new Map(changes.map(({ vehicleId, usageFrom }) => [vehicleId, usageFrom]));
    const changeOf = new Map(changes.map((change) => [change.vehicleId, change]));
    for (const history of histories) {
      const { isToldAnew, isMoved } = changeOf.get(history.vehicleId) ?? {};
      Object.assign(history, { isToldAnew, isMoved });
    }
    const changed = histories.filter(({ vehicleId }) => changedFrom.get(vehicleId) instanceof Date);
    const needs = changed.map((history) => {
      const from = changedFrom.get(history.vehicleId) as Date;
      const { need, start, memory } = usageNeed(history.vehicleId, history.summary, from.getTime());
      history.usage = { readings: [], start, memory, isComplete: false, isChanged: true };
      return need;
    });
    // Sent one after the other without waiting for the first.
    const [usage, movable] = await Promise.all([
      loadUsage(tx, fleetId, needs),
      loadStanding(tx, fleetId, histories),
      ...(factsChanged ? [loadFacts(tx, fleetId, histories)] : []),
    ]);
    for (const { vehicleId, usage: loaded } of changed) Object.assign(loaded, usage.get(vehicleId));
    if (!factsChanged && movable.length > 0) await loadFacts(tx, fleetId, movable);
    return { histories, plans };
  }

  /** Concludes each vehicle; those whose loaded facts do not suffice are concluded again from all of theirs. */
  async conclude(tx: EntityManager, loaded: Loaded): Promise<VehicleConclusion[]> {
    const conclusions: VehicleConclusion[] = [];
    await this.concludeEach(tx, loaded, (conclusion) => void conclusions.push(conclusion));
    return conclusions;
  }

  private async concludeEach(
    tx: EntityManager,
    { histories, plans }: Loaded,
    take: (conclusion: VehicleConclusion) => void,
  ): Promise<void> {
    const lacking: VehicleHistory[] = [];
    await forEachYielding(histories, (history) => {
      try {
        take(this.concludeVehicle(history, plans));
      } catch (error) {
        if (!(error instanceof NeedsAllFacts)) throw error;
        lacking.push(history);
      }
    });
    if (lacking.length === 0) return;
    const { fleetId } = fleetScope();
    const stored = await loadUsage(
      tx,
      fleetId,
      lacking.map(({ vehicleId }) => ({ vehicleId, since: null, asksForEarlier: false })),
    );
    // All of the usage may move all of the measurements, where only the latest were looked at.
    const unread = lacking.filter((history) => history.readings === null);
    if (unread.length > 0) await loadFacts(tx, fleetId, unread);
    await forEachYielding(lacking, (history) => {
      // A reading that came with the change at hand may not be stored yet.
      const all = stored.get(history.vehicleId)?.readings ?? [];
      const known = new Set(all.map((reading) => reading.id));
      const fresh = history.usage.readings.filter((reading) => !known.has(reading.id));
      const readings = [...all, ...fresh].sort((a, b) => a.at - b.at);
      const { isChanged } = history.usage;
      history.usage = { readings, start: null, memory: null, isComplete: true, isChanged };
      take(this.concludeVehicle(history, plans));
    });
  }

  private concludeVehicle(history: VehicleHistory, plans: Plans): VehicleConclusion {
    const { timeZone, units } = fleetScope();
    const usage = concludeUsage(history, timeZone, units);
    const jobs = place(history.jobs, usage, timeZone);
    const readings = place(history.readings ?? [], usage, timeZone);
    const reEvaluations = place(history.reEvaluations, usage, timeZone);
    const placed = {
      ...history,
      jobs: jobs.facts,
      readings: history.readings && readings.facts,
      reEvaluations: reEvaluations.facts,
    };
    const lines = withLineIds(history, concludeLines(placed, plans, usage, timeZone));
    const alerts = withAlertIds(
      history,
      concludeAlerts(placed, beforeWindowOf(placed, plans, timeZone), this.clock.now().getTime()),
    );
    return {
      history,
      usage,
      lines,
      alerts,
      jobs: jobs.moved,
      readings: readings.moved,
      reEvaluations: reEvaluations.moved,
    };
  }

  /** Stores what was concluded, where it differs from what stands. */
  async save(tx: EntityManager, conclusions: VehicleConclusion[]): Promise<void> {
    const changes = this.noChanges();
    for (const conclusion of conclusions) changes.add(conclusion);
    await this.store(tx, changes);
  }

  private noChanges(): Changes {
    return new Changes(civilDateAt(this.clock.now().getTime(), fleetScope().timeZone));
  }

  /** Every change of conclusions passes here, so no caller can forget to have its news told. */
  private async store(tx: EntityManager, changes: Changes): Promise<void> {
    const { fleetId } = fleetScope();
    const {
      lines: { added, changed },
      inTheNews,
    } = changes;
    // Written out first, so that the statements go out in this order.
    const summaries = await summaryColumns(changes.summaries);
    const lines = await lineColumns([...added, ...changed]);
    await pipelined([
      () => saveUsage(tx, fleetId, changes, summaries),
      () => saveLines(tx, fleetId, changes.lines, lines),
      () => saveAlerts(tx, fleetId, changes.alerts, changes.fallenAlerts),
      ...(inTheNews.length > 0 ? [() => requestSweeps(tx, fleetId, inTheNews)] : []),
    ]);
    if (inTheNews.length > 0) afterCommit(tx, () => this.sweeps.call(fleetId));
  }
}

function withLineIds(history: VehicleHistory, lines: ConcludedLine[]): StoredLine[] {
  const stored = new Map(history.lines.map((line) => [lineIdentity(line), line.id]));
  return lines.map((line) => ({ ...line, id: stored.get(lineIdentity(line)) ?? uuidv7() }));
}

function withAlertIds(history: VehicleHistory, episodes: LossAlertEpisode[]): FoundAlert[] {
  const stored = new Map(history.alerts.map((alert) => [alert.key, alert.id]));
  return episodes.map((episode) => ({
    id: stored.get(episode.key) ?? uuidv7(),
    vehicleId: history.vehicleId,
    episode,
  }));
}

/** Places facts anew on the vehicle's usage, where the readings around them may have changed. */
function place<T extends Position & { id: string; at: number }>(
  facts: T[],
  usage: ConcludedUsage,
  timeZone: string,
): { facts: T[]; moved: (Position & { id: string })[] } {
  const { placedFrom } = usage;
  if (placedFrom === null) return { facts, moved: [] };
  const moved: (Position & { id: string })[] = [];
  const placed = facts.map((fact) => {
    if (fact.at < placedFrom) return fact;
    const position = positionAt(fact.at, usage, timeZone);
    if (
      position.odometerLifetimeKm === fact.odometerLifetimeKm &&
      position.engineHoursLifetime === fact.engineHoursLifetime
    )
      return fact;
    moved.push({ id: fact.id, ...position });
    return { ...fact, ...position };
  });
  return { facts: placed, moved };
}

function chunksOf<T>(items: T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(items.length / size) }, (_, index) =>
    items.slice(index * size, (index + 1) * size),
  );
}
