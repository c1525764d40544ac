import { v7 as uuidv7 } from 'uuid';
import type { Service } from './service.js';

export interface DueLineSeed {
  id: string;
  vehicleId: string;
  unitNumber: string;
  windowOpensOn: string;
  dueOn: string;
  lateOn: string;
  lateLapsesOn?: string | null;
  lateForGoodOn?: string | null;
  noBaseline?: boolean;
  isOpen?: boolean;
  component?: string;
  cycle?: string;
  depotId?: string | null;
}

let count = 0;

/** Inserts a due line directly into the tables, with a vehicle of its own. */
export async function seedDueLine(
  { database }: Service,
  fleetId: string,
  dates: Pick<DueLineSeed, 'windowOpensOn' | 'dueOn' | 'lateOn'> & Partial<DueLineSeed>,
): Promise<DueLineSeed> {
  const { admin } = database;
  const vehicleId = uuidv7();
  const unitNumber = `T-${++count}`;
  const seed = {
    id: uuidv7(),
    vehicleId,
    unitNumber,
    component: 'water-pump',
    cycle: 'in-service',
    ...dates,
  };
  await admin.query(
    `insert into vehicles (fleet_id, id, unit_number, depot_id, duty, status) values ($1, $2, $3, $4, 'normal', 'in-use')`,
    [fleetId, vehicleId, unitNumber, seed.depotId ?? null],
  );
  await admin.query(
    `insert into due_lines (fleet_id, id, vehicle_id, unit_number, depot_id, component, action, origin, is_open, no_baseline,
       window_opens_on, due_on, late_on, late_lapses_on, late_for_good_on, trigger, cycle, due_odometer_lifetime_km)
     values ($1, $2, $3, $4, $5, $6, 'replace', 'interval', $7, $8, $9, $10, $11, $12, $13, 'distance', $14, 160934.4)`,
    [
      fleetId,
      seed.id,
      vehicleId,
      unitNumber,
      seed.depotId ?? null,
      seed.component,
      seed.isOpen ?? true,
      seed.noBaseline ?? false,
      seed.windowOpensOn,
      seed.dueOn,
      seed.lateOn,
      seed.lateLapsesOn ?? null,
      seed.lateForGoodOn ?? null,
      seed.cycle,
    ],
  );
  await admin.query(
    `update fleets set greatest_lead_days = greatest(greatest_lead_days, $2::date - $3::date) where id = $1 and $2 <> 'infinity'`,
    [fleetId, seed.dueOn, seed.windowOpensOn],
  );
  return seed;
}
