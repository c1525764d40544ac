import { conflict } from '../../platform/problems/problem.js';
import type { VehicleRecords } from '../../register/vehicles/removing.queries.js';

/** So many vehicles are named. */
const SHOWN = 100;

/** Facts of a vehicle that would be lost with it, in the words of a message. */
function inTheWay(vehicle: VehicleRecords): string | null {
  const { hasUsage, hasJobs, hasReadings, hasPostponements, hasVisits, isChanged, carries, importIds } =
    vehicle;
  const recorded = [
    hasUsage ? 'usage readings' : [],
    hasJobs ? 'job reports' : [],
    hasReadings ? 'readings' : [],
    hasPostponements ? 'postponements' : [],
    hasVisits ? 'visits' : [],
  ].flat();
  const parts = [
    recorded.length > 0 ? `has ${recorded.join(', ')}` : [],
    importIds.length > 0
      ? `undo the import${importIds.length > 1 ? 's' : ''} ${importIds.join(', ')} first`
      : [],
    isChanged ? 'was changed since' : [],
    carries.length > 0 ? `carries ${carries.join(', ')}` : [],
  ].flat();
  return parts.length === 0 ? null : parts.join('; ');
}

/**
 * A vehicle goes with the file that brought it where nobody has recorded anything of it since.
 * Reminders do not count: nobody recorded them.
 *
 * @throws Problem 409 naming each vehicle, and what stands in the way
 */
export function assertRemovable(vehicles: readonly VehicleRecords[]): void {
  const kept = vehicles.flatMap((vehicle) => {
    const why = inTheWay(vehicle);
    return why === null ? [] : [{ unitNumber: vehicle.unitNumber, why }];
  });
  if (kept.length === 0) return;
  const named = kept.slice(0, 3).map(({ unitNumber, why }) => `${unitNumber} ${why}`);
  const more = kept.length > named.length ? `; and ${kept.length - named.length} more` : '';
  const [subject, verb] = kept.length === 1 ? ['One vehicle', 'has'] : [`${kept.length} vehicles`, 'have'];
  throw conflict(
    'in-use-since',
    `${subject} of this import ${verb} been worked with since, so nothing was undone. ${named.join('. ')}${more}. ` +
      'An import is undone whole or not at all: undo or take back what came later, or delete such a vehicle by itself where it has no history, and try again.',
    kept.slice(0, SHOWN).map(({ unitNumber, why }) => ({ value: unitNumber, detail: why })),
  );
}
