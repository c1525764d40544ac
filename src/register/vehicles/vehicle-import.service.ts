import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import type { CsvTable } from '../../platform/csv/csv-rows.js';
import type { ImportAnswer, ImportQuery } from '../../platform/csv/import.dto.js';
import type { ImportReport } from '../../platform/csv/import-report.js';
import { Imports, type ImportSource } from '../../platform/csv/imports.js';
import type { Upload } from '../../platform/csv/upload.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { carriersOf, lookUpNames } from './named-in-rows.js';
import { columnAt, readVehicleRow, VEHICLE_IMPORT, type VehicleRow } from './vehicle-csv.js';
import type { Vehicle } from '../../entities/vehicle.entity.js';
import { differences } from './vehicle-differences.js';
import { FirstSeen, vehicleOfRow } from './vehicle-of-row.js';
import { vehicleNotices } from './vehicle-rules.js';
import { insertVehicles, vehiclesNamed } from './vehicles.queries.js';
import { message } from './messages.js';

const CHUNK = 500;
const FROM_THE_FIRST = new Date(0);

/** Imports vehicles from a spreadsheet. */
@Injectable()
export class VehicleImportService {
  constructor(
    private readonly imports: Imports,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  import(source: Upload | ImportSource, query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.run('vehicles', source, query, VEHICLE_IMPORT, async (tx, table, report) => {
      const seen = new FirstSeen();
      let hasMounted = false;
      for await (const chunk of table.chunks(CHUNK)) {
        const rows = chunk.map((row) => readVehicleRow(row, table));
        for (const row of rows) seen.remember(row);
        hasMounted ||= rows.some(({ mountedOn }) => mountedOn !== null);
        await this.take(
          tx,
          table,
          rows.filter(({ mountedOn }) => mountedOn === null),
          seen,
          report,
        );
      }
      // Mounted units come after their carriers, wherever the carriers are in the file.
      if (!hasMounted) return;
      for await (const chunk of table.chunks(CHUNK)) {
        const rows = chunk.map((row) => readVehicleRow(row, table));
        await this.take(
          tx,
          table,
          rows.filter(({ mountedOn }) => mountedOn !== null),
          seen,
          report,
        );
      }
    });
  }

  private async take(
    tx: EntityManager,
    table: CsvTable,
    rows: VehicleRow[],
    seen: FirstSeen,
    report: ImportReport,
  ): Promise<void> {
    if (rows.length === 0) return;
    const { fleetId, tokenId } = fleetScope();
    await lookUpNames(tx, fleetId, rows);
    const carriers = await carriersOf(tx, fleetId, rows);
    const today = civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
    const candidates = rows.map((row) => ({ row, vehicle: vehicleOfRow(row, carriers, seen, today) }));
    const known = await knownVehicles(tx, fleetId, rows);
    const added: Vehicle[] = [];
    for (const { row, vehicle } of candidates) {
      if (vehicle && isKnown(row, vehicle, known, seen, table)) {
        report.duplicate++;
        continue;
      }
      if (row.faults.length > 0) report.reject(row.line, row.faults);
      else if (vehicle) {
        added.push(vehicle);
        for (const { pointer, detail } of vehicleNotices(vehicle))
          report.notice({ line: row.line, column: columnAt(pointer), detail });
      }
    }
    report.accepted += added.length;
    // Inserted even if the import will be rolled back, because later rows may be mounted on these.
    await insertVehicles(tx, fleetId, tokenId, added, report.importId);
    if (report.isDoomed) return;
    await this.conclusions.refresh(
      tx,
      added.map(({ id }) => ({ vehicleId: id, usageFrom: FROM_THE_FIRST })),
    );
  }
}

interface KnownVehicles {
  byUnit: ReadonlyMap<string, Vehicle>;
  byVin: ReadonlyMap<string, Vehicle>;
}

/** The fleet's vehicles that have a unit number or VIN from the rows. */
async function knownVehicles(tx: EntityManager, fleetId: string, rows: VehicleRow[]): Promise<KnownVehicles> {
  const known = await vehiclesNamed(tx, fleetId, {
    units: rows.map(({ input }) => input.unitNumber),
    vins: rows.flatMap(({ input }) => input.vin ?? []),
  });
  return {
    byUnit: new Map(known.map((vehicle) => [vehicle.unitNumber, vehicle])),
    byVin: new Map(known.flatMap((vehicle) => (vehicle.vin === null ? [] : [[vehicle.vin, vehicle]]))),
  };
}

/**
 * Whether the fleet already has the vehicle exactly as the row describes it. If another vehicle has
 * its unit number or VIN, notes a fault at the row. Vehicles from an earlier line of the same file
 * are left to that line.
 */
function isKnown(
  row: VehicleRow,
  vehicle: Vehicle,
  { byUnit, byVin }: KnownVehicles,
  seen: FirstSeen,
  table: CsvTable,
): boolean {
  const { unitNumber, vin } = vehicle;
  const stored = seen.isFirstOfUnit(row) ? byUnit.get(unitNumber) : undefined;
  const holder = vin ? byVin.get(vin) : undefined;
  if (stored) {
    const others = differences(vehicle, stored, table);
    if (others.length === 0 && row.faults.length === 0) return true;
    const detail = message('vehicle-known-otherwise', { columns: others, id: stored.id });
    row.faults.push({ column: 'unitNumber', value: unitNumber, detail });
  } else if (holder && seen.vin(vin) === row.line) {
    const detail = message('vehicle-vin-taken-by-here', { holder: holder.unitNumber });
    row.faults.push({ column: 'vin', value: vin ?? '', detail });
  }
  return false;
}
