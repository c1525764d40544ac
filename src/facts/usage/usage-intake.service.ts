import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import type { StoredUsage } from '../../domain/conclusions/vehicle-history.js';
import { CLOCK_TOLERANCE_MS } from '../../domain/calendar/device-clock.js';
import type { Message } from '../../domain/message.js';
import type { JudgedUsageReading } from '../../domain/usage/types.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { message } from './messages.js';
import type { RejectedItem, UsageItem } from './usage-batch.js';
import { findRepeated, insertReadings, type NewUsageReading } from './usage.queries.js';

/** What became of a reading that was taken. */
export type TakenReading = { index: number; id: string } & (
  { status: 'accepted' | 'duplicate' } | { status: 'held'; reason: string; detail: Message | null }
);

/**
 * Stores usage readings and judges them together with those of their vehicles, for the API and for
 * the worker that polls sources.
 */
@Injectable()
export class UsageIntakeService {
  constructor(
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /**
   * Stores readings in the caller's transaction.
   *
   * @param importId the imported file they came from, if any
   * @returns the result of each reading, and the items whose vehicle is unknown
   */
  async take(
    tx: EntityManager,
    items: UsageItem[],
    importId: string | null = null,
  ): Promise<{ results: TakenReading[]; unknown: RejectedItem[] }> {
    const { readings, unknown } = await this.resolve(tx, items);
    return { results: await this.store(tx, readings, importId), unknown };
  }

  /** Finds the vehicle of each item, and locks all of them. */
  private async resolve(
    tx: EntityManager,
    items: UsageItem[],
  ): Promise<{ readings: IndexedReading[]; unknown: RejectedItem[] }> {
    const ids = new Set(items.map((item) => item.vehicleId).filter((id) => id !== null));
    const unitNumbers = new Set(items.map((item) => item.unitNumber).filter((unit) => unit !== null));
    const vehicles = await lockVehicles(tx, fleetScope().fleetId, [...ids], [...unitNumbers]);
    const byId = new Set(vehicles.map((vehicle) => vehicle.id));
    const byUnit = new Map(vehicles.map((vehicle) => [vehicle.unit_number, vehicle.id]));
    const ahead = this.clock.now().getTime() + CLOCK_TOLERANCE_MS;
    const readings: IndexedReading[] = [];
    const unknown: RejectedItem[] = [];
    for (const { index, vehicleId: id, unitNumber, ...values } of items) {
      const vehicleId = id === null ? byUnit.get(unitNumber ?? '') : byId.has(id) ? id : undefined;
      if (vehicleId === undefined) {
        const [field, vehicle] = id === null ? ['/unitNumber', `"${unitNumber}"`] : ['/vehicleId', id];
        const detail = message('usage-item-vehicle-unknown', { vehicle });
        unknown.push({ index, reason: 'unknown-vehicle', field, detail });
        continue;
      }
      const heldAtArrival = values.readAt.getTime() > ahead ? 'in-the-future' : null;
      readings.push({
        index,
        reading: { ...values, id: uuidv7(), vehicleId, heldAtArrival, jobReportId: null },
      });
    }
    return { readings, unknown };
  }

  private async store(
    tx: EntityManager,
    readings: IndexedReading[],
    importId: string | null,
  ): Promise<TakenReading[]> {
    if (readings.length === 0) return [];
    const { fleetId, tokenId } = fleetScope();
    const { added, repeated } = await this.sortOut(tx, readings);
    const ofVehicle = new Map<string, StoredUsage[]>();
    for (const { reading } of added) {
      const own = ofVehicle.get(reading.vehicleId);
      if (own) own.push(asFact(reading));
      else ofVehicle.set(reading.vehicleId, [asFact(reading)]);
    }
    const judged = await this.conclusions.refreshWithUsage(tx, ofVehicle);
    await insertReadings(
      tx,
      fleetId,
      tokenId,
      added.map(({ reading }) => ({ ...reading, judged: judged.get(reading.id) as JudgedUsageReading })),
      importId,
    );
    return [
      ...added.map(({ index, reading: { id } }): TakenReading => {
        const { status, reason, detail } = judged.get(id) as JudgedUsageReading;
        return status === 'held'
          ? { index, id, status, reason: reason ?? '', detail }
          : { index, id, status: 'accepted' };
      }),
      ...repeated.map(({ index, id }): TakenReading => ({ index, id, status: 'duplicate' })),
    ];
  }

  /** Separates new readings from those that repeat a stored one or an earlier one in the batch. */
  private async sortOut(
    tx: EntityManager,
    readings: IndexedReading[],
  ): Promise<{ added: IndexedReading[]; repeated: { index: number; id: string }[] }> {
    const known = await findRepeated(
      tx,
      fleetScope().fleetId,
      readings.map(({ reading }) => reading),
    );
    const added: IndexedReading[] = [];
    const repeated: { index: number; id: string }[] = [];
    for (const [position, one] of readings.entries()) {
      const { vehicleId, readAt, odometerKm, engineHours, id } = one.reading;
      const key = `${vehicleId} ${readAt.getTime()} ${odometerKm} ${engineHours}`;
      const storedId = known.get(position) ?? known.get(key);
      if (storedId !== undefined) repeated.push({ index: one.index, id: storedId });
      else {
        known.set(key, id);
        added.push(one);
      }
    }
    return { added, repeated };
  }
}

interface IndexedReading {
  index: number;
  reading: NewUsageReading;
}

/** A new reading in the form that conclusions need. */
function asFact(reading: NewUsageReading): StoredUsage {
  return {
    id: reading.id,
    at: reading.readAt.getTime(),
    odometerKm: reading.odometerKm,
    engineHours: reading.engineHours,
    odometerReplaced: reading.odometerReplaced,
    engineHoursReplaced: reading.engineHoursReplaced,
    source: reading.source,
    heldAtArrival: reading.heldAtArrival,
    decision: null,
    status: 'held',
    reason: null,
    detail: null,
    odometerLifetimeKm: null,
    engineHoursLifetime: null,
    isNew: true,
  };
}
