import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { fleetScope } from '../platform/scope/fleet-scope.js';
import { type PageQuery, rowOf } from '../platform/database/records.js';
import {
  decodeCursor,
  filterDigest,
  INSTANT_PATTERN,
  pageOf,
  pageSize,
  UUID_PATTERN,
} from '../platform/pages/pages.js';
import { Vehicle } from '../vehicles/vehicle.entity.js';
import { FROM_EVER } from '../vehicles/vehicles.queries.js';
import type { HistoryEntry, HistoryPage } from './history-item.dto.js';
import { type HistoryCursor, type HistoryRow, historyRows } from './vehicle-history.queries.js';

const WHAT_PATTERN = /^[a-z-]{1,20}$/;

@Injectable()
export class VehicleHistoryService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async page(vehicleId: string, { limit, cursor }: PageQuery): Promise<HistoryPage> {
    const { fleetId, timeZone } = fleetScope();
    const size = pageSize(limit);
    const digest = filterDigest({ list: 'history', vehicleId });
    const after = decodeCursor(cursor, digest, [INSTANT_PATTERN, UUID_PATTERN, WHAT_PATTERN]);
    const { manager } = this.dataSource;
    await rowOf(manager, Vehicle, vehicleId, 'vehicle');
    const vehicle = { id: vehicleId, timeZone, fromEver: FROM_EVER };
    const rows = await historyRows(manager, fleetId, vehicle, after as HistoryCursor | null, size + 1);
    return pageOf(rows, size, ({ at, id, what }) => [at, id, what], digest, entryOf);
  }
}

function entryOf({ at, id, what, detail }: HistoryRow): HistoryEntry {
  const until = typeof detail.until === 'string' ? { until: new Date(detail.until).toISOString() } : {};
  return { at: new Date(at).toISOString(), what, id, ...detail, ...until } as unknown as HistoryEntry;
}
