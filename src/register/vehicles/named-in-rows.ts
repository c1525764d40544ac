import type { EntityManager } from 'typeorm';
import { nearest } from '../../platform/csv/nearest.js';
import { UUID_PATTERN } from '../../platform/fields/uuid.js';
import type { VehicleRow } from './vehicle-csv.js';
import type { Vehicle } from '../../entities/vehicle.entity.js';
import { type NamedTable, namedRows, someNames, vehiclesNamed } from './vehicles.queries.js';
import { noSuch } from '../../platform/problems/problem.js';
import { kindOf, type RecordName } from '../../platform/problems/messages.js';
import { message } from './messages.js';

interface Named {
  column: 'depot' | 'specSheet' | 'intervalPlan';
  table: NamedTable;
  what: RecordName;
}

const NAMES: readonly Named[] = [
  { column: 'depot', table: 'depots', what: 'depot' },
  { column: 'specSheet', table: 'spec_sheets', what: 'spec sheet' },
  { column: 'intervalPlan', table: 'interval_plans', what: 'interval plan' },
];

/** Replaces the names of depots, sheets and plans with their ids. */
export async function lookUpNames(tx: EntityManager, fleetId: string, rows: VehicleRow[]): Promise<void> {
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
        const detail =
          meant === null ? noSuch(what) : message('vehicle-name-unknown', { what: kindOf(what), meant });
        row.faults.push({ column, value: name, detail });
      }
    }
  }
}

/** The carriers that rows name, by the name in the row: a unit number or an id. */
export async function carriersOf(
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
