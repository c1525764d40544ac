import { SweepService } from '../../src/telling/reminders/sweep/sweep.service.js';
import type { Service } from './service.js';

/** Requests sweeps of vehicles that a test inserted itself, as a real write does. */
export async function askForSweep(
  { database }: Service,
  fleetId: string,
  vehicleIds: string[],
): Promise<void> {
  await database.admin.query(
    'insert into sweep_requests (fleet_id, vehicle_id) select $1, v from unnest($2::uuid[]) v',
    [fleetId, vehicleIds],
  );
}

/** Sweeps vehicles that a test inserted itself. */
export async function sweepVehicles(service: Service, fleetId: string, vehicleIds: string[]): Promise<void> {
  await askForSweep(service, fleetId, vehicleIds);
  await service.app.get(SweepService).sweepRequested(fleetId);
}
