import { Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../pipeline/conclusions.service.js';
import { type FoundAlert, saveAlerts } from '../store/alerts.writes.js';
import { actionFact } from '../../domain/conclusions/loss-facts.js';
import { isSameAlert } from '../store/same-alert.js';
import { civilDateAt, MS_PER_DAY } from '../../domain/calendar/zone.js';
import { cohortOf, isNoticeablyOther } from '../../domain/loss/usual-loss/loss-cohort.js';
import { lossRateOf } from '../../domain/loss/usual-loss/loss-rate.js';
import { watchPartLots } from '../../domain/loss/parts/part-cohort.js';
import { partFittingsOf } from '../../domain/loss/parts/part-fittings.js';
import { LOSS_DEFAULTS } from '../../domain/loss/facts/settings.js';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { Transactions } from '../../platform/database/transactions.js';
import {
  levelHistories,
  lockSheet,
  markRefreshed,
  saveCohort,
  sheetsWithVehicles,
  storedCohort,
} from './cohorts.queries.js';
import { lockPartLots, lotAlerts, partHistories } from './part-lots.queries.js';

/** Vehicles whose levels are read together. Limits the memory used. */
const CHUNK = 500;

interface LotChanges {
  found: FoundAlert[];
  /** Ids of alerts that no fact supports any more. */
  fallen: string[];
}

/**
 * Draws the conclusions that need many vehicles, once a night. They are how much the vehicles of
 * one spec sheet usually lose, and which batches of parts fail too often.
 */
@Injectable()
export class CohortRefreshService {
  private readonly logger = new Logger('cohorts');

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /** Safe to repeat: writes only what has changed. */
  async refreshFleet(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async ({ timeZone }) => {
      const now = this.clock.now();
      for (const specSheetId of await sheetsWithVehicles(this.dataSource.manager, fleetId))
        await this.refreshCohort(specSheetId, now);
      // After the cohorts, because batches are judged by the vehicles' alerts, and a new cohort
      // changes those.
      await this.refreshPartLots(now);
      await markRefreshed(this.dataSource.manager, fleetId, civilDateAt(now.getTime(), timeZone));
    });
  }

  private async refreshCohort(specSheetId: string, now: Date): Promise<void> {
    const { fleetId } = fleetScope();
    const rates = await this.lossRates(specSheetId, now);
    const found = cohortOf(rates);
    if (!isNoticeablyOther(await storedCohort(this.dataSource.manager, fleetId, specSheetId), found)) return;
    await this.transactions.write(async (tx) => {
      await lockSheet(tx, fleetId, specSheetId);
      if (!isNoticeablyOther(await storedCohort(tx, fleetId, specSheetId), found)) return;
      await saveCohort(tx, fleetId, specSheetId, found, rates.length, now);
      await this.conclusions.refreshTouched(tx, { specSheetId });
    });
    this.logger.log(`the cohort of spec sheet ${specSheetId} was recomputed from ${rates.length} vehicles`);
  }

  /** One rate in L per 1,000 km for each vehicle of the sheet about which enough is known. */
  private async lossRates(specSheetId: string, now: Date): Promise<number[]> {
    const { fleetId } = fleetScope();
    const since = new Date(now.getTime() - LOSS_DEFAULTS.cohortDays * MS_PER_DAY);
    const rates: number[] = [];
    for (let after: string | null = null; ;) {
      const histories = await levelHistories(
        this.dataSource.manager,
        fleetId,
        specSheetId,
        since,
        after,
        CHUNK,
      );
      for (const facts of histories) {
        const rate = lossRateOf(facts, LOSS_DEFAULTS, now.toISOString());
        if (rate !== null) rates.push(rate);
      }
      after = histories.at(-1)?.vehicleId ?? null;
      if (histories.length < CHUNK) return rates;
    }
  }

  private async refreshPartLots(now: Date): Promise<void> {
    const { fleetId } = fleetScope();
    const { found, fallen } = await this.changedLots(this.dataSource.manager, now);
    if (found.length === 0 && fallen.length === 0) return;
    await this.transactions.write(async (tx) => {
      await lockPartLots(tx, fleetId);
      const changes = await this.changedLots(tx, now);
      await saveAlerts(tx, fleetId, changes.found, changes.fallen);
    });
  }

  /** The alerts about batches of parts that are new, changed or no longer supported. */
  private async changedLots(manager: EntityManager, now: Date): Promise<LotChanges> {
    const { fleetId } = fleetScope();
    const { stored, actions } = await lotAlerts(manager, fleetId);
    const byKey = new Map(stored.map((alert) => [alert.key, alert]));
    const standing = new Set<string>();
    const found: FoundAlert[] = [];
    for (const specSheetId of await sheetsWithVehicles(manager, fleetId)) {
      const { components, histories } = await partHistories(
        manager,
        fleetId,
        specSheetId,
        LOSS_DEFAULTS.hoursPer1000Km,
      );
      const fittings = histories.flatMap((history) => partFittingsOf(history, components));
      const parts = { fittings, actions: actions.map(actionFact) };
      for (const episode of watchPartLots(parts, LOSS_DEFAULTS, now.toISOString())) {
        standing.add(episode.key);
        const known = byKey.get(episode.key);
        if (!isSameAlert(known, episode, now.getTime()))
          found.push({ id: known?.id ?? uuidv7(), vehicleId: null, episode });
      }
    }
    const fallen = stored.filter(({ key, isStanding }) => isStanding && !standing.has(key));
    return { found, fallen: fallen.map(({ id }) => id) };
  }
}
