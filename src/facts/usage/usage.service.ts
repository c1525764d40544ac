import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { rowOf, readPage } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import type { Page } from '../../platform/pages/pages.js';
import { conflict, notFound, unacceptable } from '../../platform/problems/problem.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { message } from './messages.js';
import { usageView } from './usage-view.js';
import { usageReadingView } from './usage-reading-view.js';
import { UsageReading, type UsageStatus } from '../../entities/usage-reading.entity.js';
import { UsageSummary } from '../../entities/usage-summary.entity.js';
import type { UsageQuery, UsageReadingView, UsageView } from './usage.dto.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

type Decision = 'accepted' | 'discarded' | 'voided';

/** The status that a reading must have for each decision. */
const DECIDABLE = { accepted: 'held', discarded: 'held', voided: 'accepted' } as const satisfies Record<
  Decision,
  UsageStatus
>;

const NEWEST_FIRST = new Keyset('usage-readings', { readAt: KEY.instant, id: KEY.uuid });

/** Lists usage readings, decides about them, and summarises them. */
@Injectable()
export class UsageService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  async list(query: UsageQuery): Promise<Page<UsageReadingView>> {
    const status = query.status ?? 'held';
    return this.page(query, status, query.vehicleId ?? null);
  }

  private async page(
    query: { limit?: string; cursor?: string },
    status: string | null,
    vehicleId: string | null,
  ): Promise<Page<UsageReadingView>> {
    const page = NEWEST_FIRST.page(query, { status, vehicleId });
    const builder = this.dataSource.manager
      .createQueryBuilder(UsageReading, 'r')
      .where('r.fleetId = :fleetId', { fleetId: fleetScope().fleetId });
    if (status) builder.andWhere('r.status = :status', { status });
    if (vehicleId) builder.andWhere('r.vehicleId = :vehicleId', { vehicleId });
    return page.of(await readPage(builder, page, 'DESC'), usageReadingView);
  }

  /**
   * Accepts or discards a held reading, or voids an accepted one. Repeating a decision changes
   * nothing.
   *
   * @param replaced the counter that the reading is held for was replaced.
   * @param decisionReason why it is discarded
   */
  async decide(
    id: string,
    decision: Decision,
    replaced = false,
    decisionReason: string | null = null,
  ): Promise<UsageReadingView> {
    const transactions = await this.transactions.ofVehicleWith(UsageReading, id);
    return transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const found = await tx.findOneBy(UsageReading, { fleetId, id });
      if (!found) throw notFound('usage reading');
      const { vehicleId } = found;
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const reading = await tx.findOneByOrFail(UsageReading, { fleetId, id });
      const isSaid = !replaced || reading.odometerReplaced || reading.engineHoursReplaced;
      if (reading.decision === decision && isSaid) return usageReadingView(reading);
      if (reading.status !== DECIDABLE[decision]) {
        const detail = message('usage-already-settled', {
          status: reading.status,
          needed: DECIDABLE[decision],
        });
        throw conflict('already-settled', detail);
      }
      const flags = replaced ? replacedCounters(reading) : {};
      await tx.update(
        UsageReading,
        { fleetId, id },
        { decision, decisionReason, decidedAt: this.clock.now(), ...flags },
      );
      await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: reading.readAt }], false);
      return usageReadingView(await tx.findOneByOrFail(UsageReading, { fleetId, id }));
    });
  }

  async ofVehicle(vehicleId: string, query: { limit?: string; cursor?: string }): Promise<UsageView> {
    const { fleetId, timeZone } = fleetScope();
    await rowOf(this.dataSource.manager, Vehicle, vehicleId, 'vehicle');
    const summary = await this.dataSource.manager.findOneBy(UsageSummary, { fleetId, vehicleId });
    const readings = await this.page(query, null, vehicleId);
    return { ...usageView(summary, this.clock.now(), timeZone), readings };
  }
}

/**
 * The counters that a held reading is held for, as replaced ones: those that are not believed.
 *
 * @throws Problem 422 when it is held for its time, which says nothing about its counters
 */
function replacedCounters(reading: UsageReading) {
  if (reading.heldAtArrival !== null)
    throw unacceptable([{ pointer: '/replaced', detail: message('usage-replaced-ahead') }]);
  const { odometerKm, odometerLifetimeKm, engineHours, engineHoursLifetime } = reading;
  return {
    odometerReplaced: reading.odometerReplaced || (odometerKm !== null && odometerLifetimeKm === null),
    engineHoursReplaced:
      reading.engineHoursReplaced || (engineHours !== null && engineHoursLifetime === null),
  };
}
