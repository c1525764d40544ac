import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { derive } from '../../domain/conclusions/derive.js';
import { reEvaluate } from '../../domain/conclusions/re-evaluate.js';
import type { StoredUsage, VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { load, loadAll, type Loaded, type VehicleChange } from '../load/load.js';
import { lockTouched, type Touched } from '../load/touched-vehicles.queries.js';
import { Changes } from '../store/changes.js';
import { ConclusionStore } from '../store/conclusion-store.js';
import { forEachYielding } from '../../platform/concurrency/yielding.js';
import {
  insertReEvaluations,
  type NewReEvaluation,
  type ReEvaluationCause,
} from '../store/re-evaluations.writes.js';
import { type VehicleConclusion, withIds } from '../store/vehicle-conclusion.js';

/** How many vehicles are concluded at a time when a change affects many. */
const CHUNK = 500;

/**
 * Draws the conclusions from the recorded facts: due lines, usage summaries and loss alerts. Loads
 * the facts, derives the conclusions and stores what changed. Callers must lock the vehicles first.
 * Otherwise two writers could each miss the other's facts.
 */
@Injectable()
export class ConclusionsService {
  constructor(
    private readonly clock: Clock,
    private readonly conclusionStore: ConclusionStore,
  ) {}

  /**
   * Refreshes the conclusions about some vehicles, in the transaction that changed the facts. The
   * number of statements does not grow with the number of vehicles.
   *
   * @param factsChanged whether anything but usage changed. If so, follow-ups and alerts are
   * concluded again for all of the vehicles
   * @returns how the usage readings were judged, where that changed
   */
  async refresh(
    tx: EntityManager,
    changes: VehicleChange[],
    factsChanged = true,
  ): Promise<Map<string, JudgedUsageReading>> {
    if (changes.length === 0) return new Map();
    return this.deriveAndStore(tx, await this.load(tx, changes, factsChanged));
  }

  /**
   * Has reminders looked for again, when no conclusion changes but who hears of it does.
   *
   * @param vehicleIds vehicles that the transaction has locked
   */
  hearersChanged(tx: EntityManager, vehicleIds: string[]): Promise<void> {
    return this.conclusionStore.sweepAgain(tx, vehicleIds);
  }

  /**
   * Like `refresh`, for new usage readings. Conclusions already include them, and the caller stores
   * them as they were judged.
   *
   * @param added the new readings, by vehicle id
   * @returns the judgement of each new reading, and of each earlier one whose judgement changed
   */
  async refreshWithUsage(
    tx: EntityManager,
    added: ReadonlyMap<string, readonly StoredUsage[]>,
  ): Promise<Map<string, JudgedUsageReading>> {
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
    return this.deriveAndStore(tx, loaded);
  }

  private async deriveAndStore(tx: EntityManager, loaded: Loaded): Promise<Map<string, JudgedUsageReading>> {
    const changes = this.noChanges();
    const judgements = new Map<string, JudgedUsageReading>();
    await this.deriveEach(tx, loaded, (conclusion) => {
      changes.add(conclusion);
      const { judged, judgedNew } = conclusion.usage;
      for (const each of [judged, judgedNew]) for (const one of each) judgements.set(one.id, one);
    });
    await this.conclusionStore.store(tx, changes);
    return judgements;
  }

  /**
   * Like `refresh`, for when the lowest temperature that the vehicles must withstand may have
   * changed. Judges their latest coolant strength again. The first verdict stays, with its limits.
   *
   * @param why what changed
   * @returns the vehicles whose strength was judged again
   */
  async refreshJudgingAnew(
    tx: EntityManager,
    changes: VehicleChange[],
    why: ReEvaluationCause,
  ): Promise<string[]> {
    if (changes.length === 0) return [];
    const { fleetId, tokenId } = fleetScope();
    const now = this.clock.now();
    // Usage is loaded from now on, so that the new verdicts get a position on the vehicle's usage.
    const loaded = await this.load(
      tx,
      changes.map((change) => ({ ...change, usageFrom: change.usageFrom ?? now })),
    );
    const made: NewReEvaluation[] = loaded.histories.flatMap((history) => {
      return reEvaluate(history, now.getTime()).map((judged) => {
        const record = { id: uuidv7(), ...judged };
        history.reEvaluations.push(record);
        return { ...record, vehicleId: history.vehicleId, why };
      });
    });
    const conclusions = await this.derive(tx, loaded);
    await insertReEvaluations(tx, fleetId, tokenId, made);
    await this.store(tx, conclusions);
    return [...new Set(made.map(({ vehicleId }) => vehicleId))];
  }

  /**
   * Refreshes the vehicles of a depot whose lowest temperature changed.
   *
   * @returns the vehicles whose strength was judged again
   */
  async refreshDepot(tx: EntityManager, depotId: string): Promise<string[]> {
    const judged: string[] = [];
    for (const ids of await this.lockTouched(tx, { depotId })) {
      const changes = ids.map((vehicleId) => ({ vehicleId, usageFrom: null }));
      judged.push(...(await this.refreshJudgingAnew(tx, changes, 'depot-low-temperature')));
    }
    return judged;
  }

  /**
   * Refreshes every vehicle affected by a change to a plan, a sheet, a depot or the fleet itself.
   */
  async refreshTouched(tx: EntityManager, touched: Touched): Promise<void> {
    const isAll = touched === 'all';
    // Another time zone may mean another day, and with it another state for unchanged lines.
    const change = { usageFrom: isAll ? new Date(0) : null, isToldAnew: isAll };
    for (const ids of await this.lockTouched(tx, touched))
      await this.refresh(
        tx,
        ids.map((vehicleId) => ({ vehicleId, ...change })),
      );
  }

  private async lockTouched(tx: EntityManager, touched: Touched): Promise<string[][]> {
    return chunksOf(await lockTouched(tx, fleetScope().fleetId, touched), CHUNK);
  }

  /**
   * Loads the recorded facts of the vehicles, as far as the changes require.
   *
   * @param factsChanged whether anything but usage changed
   */
  load(tx: EntityManager, changes: VehicleChange[], factsChanged = true): Promise<Loaded> {
    return load(tx, fleetScope().fleetId, changes, factsChanged);
  }

  /**
   * Derives the conclusions about each vehicle. If the loaded facts are not enough, loads all of
   * its facts.
   */
  async derive(tx: EntityManager, loaded: Loaded): Promise<VehicleConclusion[]> {
    const conclusions: VehicleConclusion[] = [];
    await this.deriveEach(tx, loaded, (conclusion) => void conclusions.push(conclusion));
    return conclusions;
  }

  private async deriveEach(
    tx: EntityManager,
    { histories, plans }: Loaded,
    take: (conclusion: VehicleConclusion) => void,
  ): Promise<void> {
    const { fleetId, timeZone } = fleetScope();
    const setting = { timeZone, asOf: this.clock.now().getTime() };
    const lacking: VehicleHistory[] = [];
    await forEachYielding(histories, (history) => {
      const derived = derive(history, plans, setting);
      if (derived === null) lacking.push(history);
      else take(withIds(history, derived));
    });
    if (lacking.length === 0) return;
    await loadAll(tx, fleetId, lacking);
    await forEachYielding(lacking, (history) => {
      const derived = derive(history, plans, setting);
      if (derived === null) throw new Error(`the facts of the vehicle ${history.vehicleId} do not suffice`);
      take(withIds(history, derived));
    });
  }

  /** Stores the conclusions that differ from what is stored. */
  async store(tx: EntityManager, conclusions: VehicleConclusion[]): Promise<void> {
    const changes = this.noChanges();
    for (const conclusion of conclusions) changes.add(conclusion);
    await this.conclusionStore.store(tx, changes);
  }

  private noChanges(): Changes {
    return new Changes(civilDateAt(this.clock.now().getTime(), fleetScope().timeZone));
  }
}

function chunksOf<T>(items: T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(items.length / size) }, (_, index) =>
    items.slice(index * size, (index + 1) * size),
  );
}
