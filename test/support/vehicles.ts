import { v7 as uuidv7 } from 'uuid';
import type { FleetHandle, Service } from './service.js';

type Columns = Record<string, string>;

async function insert(service: Service, table: string, row: Record<string, unknown>): Promise<void> {
  const columns = Object.keys(row);
  await service.database.admin.query(
    `insert into ${table} (${columns.join(', ')}) values (${columns.map((_, index) => `$${index + 1}`).join(', ')})`,
    Object.values(row),
  );
}

/**
 * Inserts a vehicle directly into the tables, with an assignment in its history, for tests of rows
 * that refer to it.
 */
export async function assignVehicle(
  service: Service,
  fleet: FleetHandle,
  now: Columns,
  then: Columns,
): Promise<string> {
  const id = uuidv7();
  const both = { duty: 'normal', status: 'in-use' };
  await insert(service, 'vehicles', {
    fleet_id: fleet.fleetId,
    id,
    unit_number: `U-${id.slice(-8)}`,
    ...both,
    ...now,
  });
  await insert(service, 'vehicle_assignments', {
    fleet_id: fleet.fleetId,
    id: uuidv7(),
    vehicle_id: id,
    effective_on: '2020-01-01',
    ...both,
    ...then,
  });
  return id;
}
