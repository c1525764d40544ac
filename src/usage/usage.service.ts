import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../conclusions/conclusions.service.js';
import type { StoredUsage } from '../conclusions/history.js';
import { civilDateAt } from '../domain/calendar/zone.js';
import { estimateNow, isStale } from '../domain/usage/projection.js';
import type { DailyRate, JudgedReading } from '../domain/usage/types.js';
import { Clock } from '../platform/clock/clock.js';
import { fleetScope } from '../platform/database/fleet-scope.js';
import { readPage, rowOf } from '../platform/database/records.js';
import { Transactions } from '../platform/database/transactions.js';
import { optionalMeasure, shownRate } from '../platform/http/measures.js';
import { KEY, Keyset } from '../platform/http/keyset.js';
import type { Page } from '../platform/http/pages.js';
import { conflict, notFound } from '../platform/http/problem.js';
import { Vehicle } from '../vehicles/vehicle.entity.js';
import { type RejectedItem, readBatch, type UsageItem } from './usage-batch.js';
import type { UsageBatchResult, UsageQuery, UsageReadingView, UsageResult, UsageView } from './usage.dto.js';
import { findRepeated, insertReadings, lockVehicles, type NewUsageReading } from './usage.queries.js';
import { usageReadingView } from './usage-reading-view.js';
import { UsageReading, type UsageStatus } from './usage-reading.entity.js';
import { UsageSummary } from './usage-summary.entity.js';

/** A phone's clock may be this far ahead before its reading is held. */
const CLOCK_TOLERANCE_MS = 10 * 60_000;

type Decision = 'accepted' | 'discarded' | 'voided';

/** From which standing each decision may be taken. */
const DECIDABLE: Record<Decision, UsageStatus> = { accepted: 'held', discarded: 'held', voided: 'accepted' };

const NEWEST_FIRST = new Keyset('usage-readings', { readAt: KEY.instant, id: KEY.uuid });

@Injectable()
export class UsageService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /** Takes a batch of readings: what can be kept is kept, each answered by itself. */
  async post(body: unknown): Promise<UsageBatchResult> {
    const { items, rejected } = readBatch(body);
    return this.transactions.ofVehicle(onlyVehicle(items)).write(
      async (tx) => {
        const taken = await this.take(tx, items);
        return summarise([
          ...taken.results,
          ...[...rejected, ...taken.unknown].map(({ index, reason, field, detail }): UsageResult => ({
            index,
            status: 'rejected',
            reason,
            detail: `/readings/${index}${field}: ${detail}`,
          })),
        ]);
      },
      201,
      'once',
    );
  }

  /**
   * Stores readings in the caller's transaction.
   *
   * @param importId the file they came in, where they came in one
   * @returns what became of each, and which are of no vehicle
   */
  async take(
    tx: EntityManager,
    items: UsageItem[],
    importId: string | null = null,
  ): Promise<{ results: UsageResult[]; unknown: RejectedItem[] }> {
    const { readings, unknown } = await this.resolve(tx, items);
    const stored = await this.store(tx, readings, importId);
    return {
      results: stored.map(({ index, result }) => ({ index, ...result })),
      unknown,
    };
  }

  /** Finds the vehicle of each item, and locks them all. */
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
        const [field, named] = id === null ? ['/unitNumber', `"${unitNumber}"`] : ['/vehicleId', id];
        const detail = `${named} is no vehicle of this fleet`;
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
  ): Promise<{ index: number; result: Omit<UsageResult, 'index'> }[]> {
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
      added.map(({ reading }) => ({ ...reading, judged: judged.get(reading.id) as JudgedReading })),
      importId,
    );
    return [
      ...added.map(({ index, reading: { id } }) => {
        const { status, reason, detail } = judged.get(id) as JudgedReading;
        return {
          index,
          result:
            status === 'held'
              ? { status, id, reason: reason ?? '', detail: detail ?? '' }
              : { status: 'accepted' as const, id },
        };
      }),
      ...repeated.map(({ index, id }) => ({ index, result: { status: 'duplicate' as const, id } })),
    ];
  }

  /** Tells the readings that are new from those that repeat one that is stored, or that came earlier in the batch. */
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

  /** Settles a held reading, or takes back an accepted one. The same decision again changes nothing. */
  async decide(id: string, decision: Decision): Promise<UsageReadingView> {
    const transactions = await this.transactions.ofVehicleWith(UsageReading, id);
    return transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const found = await tx.findOneBy(UsageReading, { fleetId, id });
      if (!found) throw notFound('usage reading');
      const { vehicleId } = found;
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const reading = await tx.findOneByOrFail(UsageReading, { fleetId, id });
      if (reading.decision === decision) return usageReadingView(reading);
      if (reading.status !== DECIDABLE[decision]) {
        throw conflict(
          'already-settled',
          `This reading is ${reading.status}; only ${DECIDABLE[decision] === 'held' ? 'a held one can be settled' : 'an accepted one can be voided'}.`,
        );
      }
      await tx.update(UsageReading, { fleetId, id }, { decision, decidedAt: this.clock.now() });
      await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: reading.readAt }], false);
      return usageReadingView(await tx.findOneByOrFail(UsageReading, { fleetId, id }));
    });
  }

  async ofVehicle(vehicleId: string, query: { limit?: string; cursor?: string }): Promise<UsageView> {
    const { fleetId, timeZone } = fleetScope();
    await rowOf(this.dataSource.manager, Vehicle, vehicleId, 'vehicle');
    const summary = await this.dataSource.manager.findOneBy(UsageSummary, { fleetId, vehicleId });
    const readings = await this.page(query, null, vehicleId);
    const now = this.clock.now().getTime();
    const distance =
      summary &&
      counterOf(
        summary.odometerReadAt,
        summary.odometerLifetimeKm,
        summary.odometerOffsetKm,
        summary.distanceRate,
      );
    const hours =
      summary &&
      counterOf(
        summary.engineHoursReadAt,
        summary.engineHoursLifetime,
        summary.engineHoursOffset,
        summary.engineHoursRate,
      );
    const lastAt = Math.max(distance?.at ?? -Infinity, hours?.at ?? -Infinity);
    const estimate = (counter: KnownCounter | null): number | null =>
      counter?.rate
        ? estimateNow(counter.rate, { at: counter.at, value: counter.lifetime }, now, timeZone) -
          counter.offset
        : null;
    return {
      lastReading:
        lastAt === -Infinity
          ? null
          : {
              readAt: new Date(lastAt).toISOString(),
              odometer: optionalMeasure(
                'distance',
                distance?.at === lastAt ? distance.lifetime - distance.offset : null,
              ),
              engineHours: optionalMeasure(
                'engine-hours',
                hours?.at === lastAt ? hours.lifetime - hours.offset : null,
              ),
            },
      dailyDistance: shownRate('distance', summary?.distanceRate ?? null),
      dailyEngineHours: shownRate('engine-hours', summary?.engineHoursRate ?? null),
      method: (summary?.distanceRate ?? summary?.engineHoursRate)?.method ?? null,
      stale: lastAt === -Infinity || isStale(civilDateAt(lastAt, timeZone), civilDateAt(now, timeZone)),
      estimatedOdometer: optionalMeasure('distance', estimate(distance)),
      estimatedEngineHours: optionalMeasure('engine-hours', estimate(hours)),
      readings,
    };
  }
}

interface IndexedReading {
  index: number;
  reading: NewUsageReading;
}

/** A new reading as the conclusions take it. */
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

/** The one vehicle of a batch, as the batch names it; null where it is about several. */
function onlyVehicle(items: UsageItem[]): string | null {
  const [first] = items;
  const isOne = items.every(
    ({ vehicleId, unitNumber }) => vehicleId === first?.vehicleId && unitNumber === first.unitNumber,
  );
  return isOne ? (first?.vehicleId ?? first?.unitNumber ?? null) : null;
}

interface KnownCounter {
  at: number;
  lifetime: number;
  offset: number;
  rate: DailyRate | null;
}

function counterOf(
  at: Date | null,
  lifetime: number | null,
  offset: number | null,
  rate: DailyRate | null,
): KnownCounter | null {
  return at === null || lifetime === null ? null : { at: at.getTime(), lifetime, offset: offset ?? 0, rate };
}

function summarise(results: UsageResult[]): UsageBatchResult {
  const ordered = results.sort((a, b) => a.index - b.index);
  const count = (status: UsageResult['status']) =>
    ordered.filter((result) => result.status === status).length;
  return {
    accepted: count('accepted'),
    duplicate: count('duplicate'),
    held: count('held'),
    rejected: count('rejected'),
    results: ordered,
  };
}
