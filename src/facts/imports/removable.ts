import { conflict } from '../../platform/problems/problem.js';
import type { VehicleRecords } from '../../register/vehicles/removing.queries.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** How many vehicles are listed in the problem, and how many of them are named in its sentence. */
const SHOWN = 100;
const NAMED = 3;

/** Why a vehicle cannot be removed, such as facts that would be lost with it. Null when it can. */
function inTheWay(vehicle: VehicleRecords): Message | null {
  const { hasUsage, hasJobs, hasReadings, hasFaults, hasPostponements, hasVisits } = vehicle;
  const { isChanged, carries, importIds, hasTemperatures } = vehicle;
  const facts = [
    hasUsage ? message('import-fact-usage') : [],
    hasJobs ? message('import-fact-jobs') : [],
    hasReadings ? message('import-fact-readings') : [],
    hasFaults ? message('import-fact-faults') : [],
    hasTemperatures ? message('import-fact-temperatures') : [],
    hasPostponements ? message('import-fact-postponements') : [],
    hasVisits ? message('import-fact-visits') : [],
  ].flat();
  if (facts.length + importIds.length + carries.length === 0 && !isChanged) return null;
  return message('import-vehicle-in-use', {
    factCount: facts.length,
    facts,
    importCount: importIds.length,
    imports: importIds,
    isChanged: isChanged ? 'yes' : 'no',
    unitCount: carries.length,
    units: carries,
  });
}

/**
 * A vehicle can be removed with its import if nobody has recorded anything about it since.
 * Reminders do not count, because nobody recorded them.
 *
 * @throws Problem 409 naming each vehicle and the reason
 */
export function assertRemovable(vehicles: readonly VehicleRecords[]): void {
  const kept = vehicles.flatMap((vehicle) => {
    const detail = inTheWay(vehicle);
    return detail === null ? [] : [{ value: vehicle.unitNumber, detail }];
  });
  if (kept.length === 0) return;
  const named = kept.slice(0, NAMED).map(({ value }) => value);
  const more = kept.length - named.length;
  throw conflict(
    'in-use-since',
    message('import-vehicles-in-use', { count: kept.length, vehicles: named, more }),
    kept.slice(0, SHOWN),
  );
}
