import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { ConclusionsService } from '../conclusions/conclusions.service.js';
import { civilDateAt } from '../domain/calendar/zone.js';
import { Clock } from '../platform/clock/clock.js';
import type { CsvTable } from '../platform/csv/csv-rows.js';
import type { ImportAnswer, ImportQuery } from '../platform/csv/import.dto.js';
import type { ImportReport } from '../platform/csv/import-report.js';
import { Imports } from '../platform/csv/imports.js';
import { nearest } from '../platform/csv/nearest.js';
import type { Upload } from '../platform/csv/upload.js';
import { fleetScope } from '../platform/scope/fleet-scope.js';
import { UUID_PATTERN } from '../platform/pages/pages.js';
import { faultsIn } from '../platform/input/validation.pipe.js';
import { columnsOf } from './vehicle-columns.js';
import { columnAt, readVehicleRow, VEHICLE_IMPORT, type VehicleRow } from './vehicle-csv.js';
import { VehicleInput } from './vehicle.dto.js';
import { Vehicle } from './vehicle.entity.js';
import { carrierFault, vehicleFaults, vehicleNotices } from './vehicle-rules.js';
import { insertVehicles, type NamedTable, namedRows, someNames, vehiclesNamed } from './vehicles.queries.js';

const CHUNK = 500;
const FROM_THE_FIRST = new Date(0);

const NAMES: readonly { column: 'depot' | 'specSheet' | 'intervalPlan'; table: NamedTable; what: string }[] =
  [
    { column: 'depot', table: 'depots', what: 'depot' },
    { column: 'specSheet', table: 'spec_sheets', what: 'spec sheet' },
    { column: 'intervalPlan', table: 'interval_plans', what: 'interval plan' },
  ];

/** On which line a unit number or VIN stood first, and whether that vehicle is mounted on another. */
interface FirstSeen {
  units: Map<string, { line: number; isMounted: boolean }>;
  vins: Map<string, number>;
}

/** Takes vehicles from a spreadsheet. */
@Injectable()
export class VehicleImportService {
  constructor(
    private readonly imports: Imports,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  import(upload: Upload, query: ImportQuery): Promise<ImportAnswer> {
    return this.imports.run('vehicles', upload, query, VEHICLE_IMPORT, async (tx, table, report) => {
      const seen: FirstSeen = { units: new Map(), vins: new Map() };
      let hasMounted = false;
      for await (const chunk of table.chunks(CHUNK)) {
        const rows = chunk.map((row) => readVehicleRow(row, table));
        for (const row of rows) remember(row, seen);
        hasMounted ||= rows.some(({ mountedOn }) => mountedOn !== null);
        await this.take(
          tx,
          table,
          rows.filter(({ mountedOn }) => mountedOn === null),
          seen,
          report,
        );
      }
      // What is mounted comes after its carriers, wherever in the file those stand.
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
    const candidates = rows.map((row) => {
      const vehicle = this.candidate(row, carriers, seen, today);
      return { row, vehicle };
    });
    const known = await vehiclesNamed(tx, fleetId, {
      units: rows.map(({ input }) => input.unitNumber),
      vins: rows.flatMap(({ input }) => input.vin ?? []),
    });
    const byUnit = new Map(known.map((vehicle) => [vehicle.unitNumber, vehicle]));
    const byVin = new Map(known.flatMap((vehicle) => (vehicle.vin === null ? [] : [[vehicle.vin, vehicle]])));
    const added: Vehicle[] = [];
    for (const { row, vehicle } of candidates) {
      // A unit number that an earlier line of the file has brought in is that line's.
      const isFirst = seen.units.get(row.input.unitNumber)?.line === row.line;
      const stored = isFirst ? byUnit.get(row.input.unitNumber) : undefined;
      const holder = vehicle?.vin ? byVin.get(vehicle.vin) : undefined;
      if (vehicle && stored) {
        const others = differences(vehicle, stored, table);
        if (others.length === 0 && row.faults.length === 0) {
          report.duplicate++;
          continue;
        }
        const detail = `exists already, with another ${others.join(', ')}; a vehicle is changed by PATCH /v1/vehicles/${stored.id}`;
        row.faults.push({ column: 'unitNumber', value: row.input.unitNumber, detail });
      } else if (vehicle && holder && seen.vins.get(vehicle.vin ?? '') === row.line) {
        const detail = `is taken by another vehicle, ${holder.unitNumber}`;
        row.faults.push({ column: 'vin', value: vehicle.vin ?? '', detail });
      }
      if (row.faults.length > 0) report.reject(row.line, row.faults);
      else if (vehicle) {
        added.push(vehicle);
        for (const { pointer, detail } of vehicleNotices(vehicle))
          report.notice({ line: row.line, column: columnAt(pointer), detail });
      }
    }
    report.accepted += added.length;
    // Stored even where nothing will be kept: later rows may be mounted on these.
    await insertVehicles(tx, fleetId, tokenId, added, report.importId);
    if (report.isDoomed) return;
    await this.conclusions.refresh(
      tx,
      added.map(({ id }) => ({ vehicleId: id, usageFrom: FROM_THE_FIRST })),
    );
  }

  /** The vehicle that a row makes, with what is wrong with it noted at the row; null when it makes none. */
  private candidate(
    row: VehicleRow,
    carriers: ReadonlyMap<string, Vehicle>,
    seen: FirstSeen,
    today: string,
  ): Vehicle | null {
    const { input, faults, mountedOn } = row;
    const cellOf = (column: string): string | undefined => {
      const value = (input as unknown as Record<string, unknown>)[column];
      return typeof value === 'string' || typeof value === 'number' ? String(value) : undefined;
    };
    const add = (column: string, detail: string, value = cellOf(column)) =>
      faults.push({ column, detail, ...(value === undefined ? {} : { value }) });
    for (const { pointer, detail } of faultsIn(VehicleInput, input)) {
      const quantity = (input as unknown as Record<string, { value?: number } | undefined>)[
        columnAt(pointer)
      ];
      add(columnAt(pointer), detail, quantity?.value === undefined ? undefined : String(quantity.value));
    }
    const firstUnit = seen.units.get(input.unitNumber);
    if (firstUnit && firstUnit.line !== row.line)
      add('unitNumber', `stands on line ${firstUnit.line} already, and here on line ${row.line}`);
    const firstVin = input.vin ? seen.vins.get(input.vin) : undefined;
    if (firstVin !== undefined && firstVin !== row.line)
      add('vin', `stands on line ${firstVin} already, and here on line ${row.line}`);
    if (faults.length > 0) return null;
    const vehicle = Object.assign(new Vehicle(), {
      fleetId: fleetScope().fleetId,
      id: uuidv7(),
      version: 1,
      ...columnsOf(input),
    });
    for (const { pointer, detail } of vehicleFaults(vehicle, today)) add(columnAt(pointer), detail);
    if (mountedOn !== null) {
      const carrier = carriers.get(mountedOn) ?? null;
      const inFile = seen.units.get(mountedOn);
      const fault =
        mountedOn === input.unitNumber
          ? 'names the vehicle itself'
          : carrier === null && inFile?.isMounted
            ? `names ${mountedOn}, which is itself mounted on another vehicle; name that one`
            : carrier === null && inFile
              ? `names ${mountedOn}, and line ${inFile.line}, which would bring it in, cannot be taken`
              : carrierFault(vehicle, carrier);
      if (fault !== null) add('mountedOn', fault, mountedOn);
      vehicle.mountedOn = carrier?.id ?? null;
      vehicle.depotId ??= carrier?.depotId ?? null;
    }
    return vehicle;
  }
}

function remember({ line, input: { unitNumber, vin }, mountedOn }: VehicleRow, seen: FirstSeen): void {
  if (!seen.units.has(unitNumber)) seen.units.set(unitNumber, { line, isMounted: mountedOn !== null });
  if (vin && !seen.vins.has(vin)) seen.vins.set(vin, line);
}

/** Puts the ids of depots, sheets and plans in the place of their names. */
async function lookUpNames(tx: EntityManager, fleetId: string, rows: VehicleRow[]): Promise<void> {
  for (const { column, table, what } of NAMES) {
    const names = [...new Set(rows.flatMap((row) => row[column] ?? []))];
    if (names.length === 0) continue;
    const found = await namedRows(tx, fleetId, table, names);
    const idOf = (name: string): string | undefined => {
      const alike = found.filter((row) => row.name.toLowerCase() === name.toLowerCase());
      const exact = alike.find((row) => row.name === name) ?? (alike.length === 1 ? alike[0] : undefined);
      return exact?.id ?? found.find((row) => row.id === name.toLowerCase())?.id;
    };
    let known: string[] | null = null;
    for (const row of rows) {
      const name = row[column];
      if (name === null) continue;
      const id = idOf(name);
      if (id !== undefined) row.input[`${column}Id`] = id;
      else {
        known ??= await someNames(tx, fleetId, table);
        const meant = nearest(name, known);
        const detail = `there is no such ${what} in this fleet${meant === null ? '' : `; was "${meant}" meant?`}`;
        row.faults.push({ column, value: name, detail });
      }
    }
  }
}

/** The carriers that rows name, by the name they were given: a unit number, or an id. */
async function carriersOf(
  tx: EntityManager,
  fleetId: string,
  rows: VehicleRow[],
): Promise<Map<string, Vehicle>> {
  const names = [...new Set(rows.flatMap(({ mountedOn }) => mountedOn ?? []))];
  if (names.length === 0) return new Map();
  const ids = names.map((name) => name.toLowerCase()).filter((name) => UUID_PATTERN.test(name));
  const vehicles = await vehiclesNamed(tx, fleetId, { units: names, ids });
  return new Map(
    names.flatMap((name) => {
      const byUnit = vehicles.find(({ unitNumber }) => unitNumber === name);
      const found = byUnit ?? vehicles.find(({ id }) => id === name.toLowerCase());
      return found ? [[name, found] as const] : [];
    }),
  );
}

/** By which column each property is told. */
const COMPARED = {
  depotId: 'depot',
  specSheetId: 'specSheet',
  intervalPlanId: 'intervalPlan',
  duty: 'duty',
  status: 'status',
  vin: 'vin',
  serialNumber: 'serialNumber',
  make: 'make',
  model: 'model',
  modelYear: 'modelYear',
  mountedOn: 'mountedOn',
  inUseMonths: 'inUseMonths',
  inServiceOn: 'inServiceOn',
  inServiceOdometerKm: 'inServiceOdometer',
  inServiceEngineHours: 'inServiceEngineHours',
  expectedDailyKm: 'expectedDailyDistance',
  expectedDailyHours: 'expectedDailyEngineHours',
  designLowTemperatureC: 'designLowTemperature',
} as const;

/** The columns in which a row says something else than what is stored; those that the file does not have say nothing. */
function differences(vehicle: Vehicle, stored: Vehicle, { columns }: CsvTable): string[] {
  return (Object.keys(COMPARED) as (keyof typeof COMPARED)[])
    .filter((property) => columns.has(COMPARED[property]) && !isSame(vehicle[property], stored[property]))
    .map((property) => COMPARED[property]);
}

/** A number went through a unit and back, and is written with ten digits. */
function isSame(a: unknown, b: unknown): boolean {
  if (typeof a === 'number' && typeof b === 'number')
    return Math.abs(a - b) <= 1e-8 * Math.max(1, Math.abs(a), Math.abs(b));
  return String(a) === String(b);
}
