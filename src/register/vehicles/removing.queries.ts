import type { EntityManager } from 'typeorm';

/**
 * What is recorded about a vehicle and would be lost if it were deleted. Records whose import was
 * undone do not count.
 */
export interface VehicleRecords {
  id: string;
  unitNumber: string;
  isChanged: boolean;
  hasUsage: boolean;
  hasJobs: boolean;
  hasReadings: boolean;
  hasFaults: boolean;
  hasTemperatures: boolean;
  hasDefects: boolean;
  hasPostponements: boolean;
  hasVisits: boolean;
  hasReminders: boolean;
  /** Unit numbers of what is mounted on it, except units from the same import. */
  carries: string[];
  /** The imports that brought usage readings or jobs of the vehicle. */
  importIds: string[];
}

/** What is recorded about some vehicles, ordered by unit number. */
export function recordsOf(
  tx: EntityManager,
  fleetId: string,
  vehicleIds: string[],
): Promise<VehicleRecords[]> {
  return tx.query<VehicleRecords[]>(
    `select v.id, v.unit_number as "unitNumber", v.version > 1 as "isChanged",
       exists (select from usage_readings u where u.fleet_id = $1 and u.vehicle_id = v.id and u.job_report_id is null and not u.is_undone) as "hasUsage",
       exists (select from job_reports j where j.fleet_id = $1 and j.vehicle_id = v.id and (not j.is_undone
         or exists (select from attachments a where a.fleet_id = $1 and a.job_report_id = j.id))) as "hasJobs",
       exists (select from readings r where r.fleet_id = $1 and r.vehicle_id = v.id) as "hasReadings",
       exists (select from faults f where f.fleet_id = $1 and f.vehicle_id = v.id) as "hasFaults",
       exists (select from coolant_temperature_days t where t.fleet_id = $1 and t.vehicle_id = v.id) as "hasTemperatures",
       exists (select from defects t where t.fleet_id = $1 and t.vehicle_id = v.id) as "hasDefects",
       exists (select from postponements p where p.fleet_id = $1 and p.vehicle_id = v.id) as "hasPostponements",
       exists (select from visits t where t.fleet_id = $1 and t.vehicle_id = v.id) as "hasVisits",
       exists (select from due_lines d join reminders m on m.fleet_id = $1 and m.due_line_id = d.id
               where d.fleet_id = $1 and d.vehicle_id = v.id) as "hasReminders",
       array(select c.unit_number from vehicles c where c.fleet_id = $1 and c.mounted_on = v.id
             and (v.import_id is null or c.import_id is distinct from v.import_id) order by c.unit_number) as carries,
       array(select u.import_id from usage_readings u
             where u.fleet_id = $1 and u.vehicle_id = v.id and u.import_id is not null and not u.is_undone
             union select j.import_id from job_reports j
             where j.fleet_id = $1 and j.vehicle_id = v.id and j.import_id is not null and not j.is_undone) as "importIds"
     from vehicles v where v.fleet_id = $1 and v.id = any($2::uuid[]) order by v.unit_number`,
    [fleetId, vehicleIds],
  );
}

/** Tables with rows that depend on a vehicle, in the order in which they can be deleted. */
const FOLLOWING = [
  'planned_visits',
  'planned_lines',
  'due_lines',
  'usage_summaries',
  'vehicle_assignments',
  'vehicle_labels',
];

/** Deletes vehicles that have no records, with all conclusions and reminders about them. */
export async function deleteVehicles(
  tx: EntityManager,
  fleetId: string,
  vehicleIds: string[],
): Promise<void> {
  const values = [fleetId, vehicleIds];
  const reminders = `select m.id from reminders m where m.fleet_id = $1 and m.vehicle_id = any($2::uuid[])
    union select m.id from due_lines d join reminders m on m.fleet_id = $1 and m.due_line_id = d.id where d.fleet_id = $1 and d.vehicle_id = any($2::uuid[])`;
  await tx.query(
    `delete from reminder_attempts where fleet_id = $1 and reminder_id in (${reminders})`,
    values,
  );
  await tx.query(`delete from reminders where fleet_id = $1 and id in (${reminders})`, values);
  for (const table of FOLLOWING)
    await tx.query(`delete from ${table} where fleet_id = $1 and vehicle_id = any($2::uuid[])`, values);
  // A machine that was this vehicle is unknown again.
  await tx.query(
    `update telematics_machines set vehicle_id = null, matched_by = null where fleet_id = $1 and vehicle_id = any($2::uuid[])`,
    values,
  );
  await tx.query('select delete_undone($1::uuid[])', [vehicleIds]);
  await tx.query('delete from vehicles where fleet_id = $1 and id = any($2::uuid[])', values);
}
