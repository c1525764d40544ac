import type { CsvTable } from '../../platform/csv/csv-rows.js';
import type { Vehicle } from '../../entities/vehicle.entity.js';

/** The column in which each property is reported. */
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

/**
 * The columns in which a row differs from the stored vehicle. Columns that the file does not have
 * are ignored.
 */
export function differences(vehicle: Vehicle, stored: Vehicle, { columns }: CsvTable): string[] {
  return (Object.keys(COMPARED) as (keyof typeof COMPARED)[])
    .filter((property) => columns.has(COMPARED[property]) && !isSame(vehicle[property], stored[property]))
    .map((property) => COMPARED[property]);
}

/**
 * Compares numbers loosely: they were converted to another unit and back, and exported with ten
 * digits.
 */
function isSame(a: unknown, b: unknown): boolean {
  if (typeof a === 'number' && typeof b === 'number')
    return Math.abs(a - b) <= 1e-8 * Math.max(1, Math.abs(a), Math.abs(b));
  return String(a) === String(b);
}
