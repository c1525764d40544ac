import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { CoolantTemperatureDay } from '../../entities/coolant-temperature.entity.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { readPage, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import type { Page } from '../../platform/pages/pages.js';
import { conflict } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { message } from './messages.js';
import { readBatch, type RejectedItem, type TemperatureItem } from './temperature-batch.js';
import { shownDaysOf } from './shown-days.queries.js';
import { dayView, trendView } from './temperature-view.js';
import type {
  TemperatureDayView,
  TemperatureResult,
  TemperaturesResult,
  TemperatureTrendView,
} from './temperature.dto.js';
import { type RefusalReason, TemperaturesService } from './temperatures.service.js';

const LATEST_FIRST = new Keyset('coolant_temperature_days', { day: KEY.date, id: KEY.uuid });

/** Where in an item the reason for a refusal lies. */
const FIELD_OF: Readonly<Record<RefusalReason, string>> = {
  'unknown-vehicle': '/vehicleId',
  sensor: '/temperature',
  'in-the-future': '/readAt',
  'day-closed': '/readAt',
};

/** Coolant temperatures as people post them, and their daily figures. */
@Injectable()
export class TemperatureRecordsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly conclusions: ConclusionsService,
    private readonly temperatures: TemperaturesService,
    private readonly clock: Clock,
  ) {}

  /** Stores every temperature that can be stored, and says why the others cannot. */
  async post(body: unknown): Promise<TemperaturesResult> {
    const { items, rejected } = readBatch(body);
    return this.transactions.ofVehicle(onlyVehicle(items)).write(
      async (tx) => {
        const taken = await this.takeItems(tx, items);
        return summarise(items.length + rejected.length, [...rejected, ...taken]);
      },
      200,
      'once',
    );
  }

  /** @returns those that are rejected */
  private async takeItems(tx: EntityManager, items: readonly TemperatureItem[]): Promise<RejectedItem[]> {
    const ids = new Set(items.flatMap(({ vehicleId }) => vehicleId ?? []));
    const units = new Set(items.flatMap(({ unitNumber }) => unitNumber ?? []));
    const vehicles = await lockVehicles(tx, fleetScope().fleetId, [...ids], [...units]);
    const known = new Set(vehicles.map(({ id }) => id));
    const byUnit = new Map(vehicles.map(({ id, unit_number: unit }) => [unit, id]));
    const rejected: RejectedItem[] = [];
    const rows = items.flatMap(({ index, vehicleId, unitNumber, ...row }) => {
      const id =
        vehicleId === null ? byUnit.get(unitNumber ?? '') : known.has(vehicleId) ? vehicleId : undefined;
      if (id !== undefined) return [{ ...row, index, vehicleId: id }];
      const field = vehicleId === null ? '/unitNumber' : '/vehicleId';
      const detail = message('temperature-item-vehicle-unknown', { vehicle: vehicleId ?? unitNumber ?? '' });
      rejected.push({ index, reason: 'unknown-vehicle', field, detail });
      return [];
    });
    const { refused } = await this.temperatures.take(tx, rows);
    for (const { index, reason, detail } of refused)
      rejected.push({ index: rows[index]!.index, reason, field: FIELD_OF[reason], detail });
    return rejected;
  }

  /** The daily figures of a vehicle, latest first. */
  async ofVehicle(vehicleId: string, query: PageQueryDto): Promise<Page<TemperatureDayView>> {
    const { manager } = this.dataSource;
    await rowOf(manager, Vehicle, vehicleId, 'vehicle');
    const page = LATEST_FIRST.page(query, { vehicleId });
    const builder = manager
      .createQueryBuilder(CoolantTemperatureDay, 't')
      .where('t.fleetId = :fleetId and t.vehicleId = :vehicleId', {
        fleetId: fleetScope().fleetId,
        vehicleId,
      });
    const today = this.today();
    return page.of(await readPage(builder, page, 'DESC'), (row) => dayView(row, today));
  }

  async trend(vehicleId: string): Promise<TemperatureTrendView> {
    const { manager } = this.dataSource;
    await rowOf(manager, Vehicle, vehicleId, 'vehicle');
    const today = this.today();
    return trendView(await shownDaysOf(manager, fleetScope(), vehicleId, today), today);
  }

  /** Takes a day back: nothing is concluded from it any more. Later values do not bring it back. */
  async void(id: string, reason: string): Promise<TemperatureDayView> {
    const transactions = await this.transactions.ofVehicleWith(CoolantTemperatureDay, id);
    return transactions.write(async (tx) => {
      const { fleetId } = fleetScope();
      const { vehicleId } = await rowOf(tx, CoolantTemperatureDay, id, 'temperature day');
      await lockVehicles(tx, fleetId, [vehicleId], []);
      const row = await rowOf(tx, CoolantTemperatureDay, id, 'temperature day');
      if (row.voidedAt && row.voidReason !== reason)
        throw conflict(
          'already-voided',
          message('temperature-day-already-voided', { reason: row.voidReason ?? '' }),
        );
      if (row.voidedAt) return dayView(row, this.today());
      const voided = { voidedAt: this.clock.now(), voidReason: reason };
      await tx.update(CoolantTemperatureDay, { fleetId, id }, voided);
      if (row.overheatedFrom) await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: null }]);
      return dayView({ ...row, ...voided }, this.today());
    });
  }

  private today(): string {
    return civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
  }
}

/** The vehicle of a batch, as the batch names it; null when there are several. */
function onlyVehicle(items: readonly TemperatureItem[]): string | null {
  const names = new Set(items.map(({ vehicleId, unitNumber }) => vehicleId ?? unitNumber ?? ''));
  const [name] = names;
  return names.size === 1 && name !== undefined && name !== '' ? name : null;
}

/** The result of each item, in order. */
function summarise(count: number, rejected: readonly RejectedItem[]): TemperaturesResult {
  const byIndex = new Map(rejected.map((one) => [one.index, one]));
  const results = Array.from({ length: count }, (_, index): TemperatureResult => {
    const one = byIndex.get(index);
    if (one === undefined) return { index, status: 'accepted' };
    const { reason, field, detail } = one;
    const pointer = `/samples/${index}${field}`;
    return { index, status: 'rejected', reason, pointer, detail: shownMessage(detail) };
  });
  return { accepted: count - rejected.length, rejected: rejected.length, results };
}
