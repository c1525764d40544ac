import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { type PageQuery, rowOf } from '../../platform/database/records.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { FROM_EVER } from '../../register/vehicles/vehicles.queries.js';
import type { HistoryEntry, HistoryPage } from './history-item.dto.js';
import { type HistoryRow, historyRows } from './vehicle-history.queries.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';

const NEWEST_FIRST = new Keyset('history', { at: KEY.instant, id: KEY.uuid, what: KEY.text });

@Injectable()
export class VehicleHistoryService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async page(vehicleId: string, query: PageQuery): Promise<HistoryPage> {
    const { fleetId, timeZone } = fleetScope();
    const page = NEWEST_FIRST.page(query, { vehicleId });
    const { manager } = this.dataSource;
    await rowOf(manager, Vehicle, vehicleId, 'vehicle');
    const vehicle = { id: vehicleId, timeZone, fromEver: FROM_EVER };
    const rows = await historyRows(manager, fleetId, vehicle, page.after, page.rowsToRead);
    return page.of(rows, entryOf);
  }
}

function entryOf({ at, id, what, detail }: HistoryRow): HistoryEntry {
  const until = typeof detail.until === 'string' ? { until: new Date(detail.until).toISOString() } : {};
  return { at: new Date(at).toISOString(), what, id, ...detail, ...until } as unknown as HistoryEntry;
}
