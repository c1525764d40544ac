import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { faultCodeIn } from '../../domain/faults/fault-code.js';
import { circuitOf } from '../../domain/faults/meanings.js';
import { toldMeaning } from '../../domain/faults/told-meaning.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { type PageQuery, rowOf } from '../../platform/database/records.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { FROM_EVER } from '../../register/vehicles/vehicles.queries.js';
import type { FaultGoneInHistory, HistoryEntry, HistoryPage } from './history-item.dto.js';
import { type HistoryRow, historyRows } from './vehicle-history.queries.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
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
  const more = what === 'fault-began' || what === 'fault-gone' ? faultDetail(detail) : {};
  return {
    ...{ at: new Date(at).toISOString(), what, id },
    ...detail,
    ...instantsIn(detail),
    ...more,
  } as unknown as HistoryEntry;
}

const INSTANTS = ['until', 'lastSeenAt', 'goneAt'] as const;

/** The database writes instants in another form. */
function instantsIn(detail: HistoryRow['detail']): Record<string, string> {
  return Object.fromEntries(
    INSTANTS.flatMap((name) => {
      const value = detail[name];
      return typeof value === 'string' ? [[name, new Date(value).toISOString()]] : [];
    }),
  );
}

function faultDetail(detail: HistoryRow['detail']): Pick<FaultGoneInHistory, 'circuit' | 'meaning'> {
  const code = faultCodeIn(String(detail.code));
  const meaning = toldMeaning(code);
  return { circuit: circuitOf(code), meaning: meaning && shownMessage(meaning) };
}
