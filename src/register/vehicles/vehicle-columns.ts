import { currentReader } from '../../platform/scope/fleet-scope.js';
import { shownFault } from '../../platform/problems/problem.js';
import { canonicalOf } from '../../domain/quantities/given.js';
import { optionalMeasure } from '../../platform/presenting/measures.js';
import type { VehicleInput, VehicleNotice, VehicleView } from './vehicle.dto.js';
import type { Vehicle } from '../../entities/vehicle.entity.js';
import { vehicleNotices } from './vehicle-rules.js';

/** The columns in which a posted vehicle is stored. */
export function columnsOf(input: VehicleInput) {
  return {
    unitNumber: input.unitNumber.trim(),
    depotId: input.depotId ?? null,
    specSheetId: input.specSheetId ?? null,
    intervalPlanId: input.intervalPlanId ?? null,
    duty: input.duty ?? 'normal',
    status: input.status ?? 'in-use',
    vin: input.vin ?? null,
    serialNumber: input.serialNumber?.trim() ?? null,
    make: input.make ?? null,
    model: input.model ?? null,
    modelYear: input.modelYear ?? null,
    mountedOn: input.mountedOn ?? null,
    inUseMonths:
      input.inUseMonths && input.inUseMonths.length > 0
        ? [...new Set(input.inUseMonths)].sort((a, b) => a - b)
        : null,
    inServiceOn: input.inServiceOn ?? null,
    inServiceOdometerKm: canonicalOf('distance', input.inServiceOdometer),
    inServiceEngineHours: canonicalOf('engine-hours', input.inServiceEngineHours),
    expectedDailyKm: canonicalOf('distance', input.expectedDailyDistance),
    expectedDailyHours: canonicalOf('engine-hours', input.expectedDailyEngineHours),
    designLowTemperatureC: canonicalOf('temperature', input.designLowTemperature),
  };
}

const quantity = (value: number | null, unit: 'km' | 'h' | 'C') => (value === null ? null : { value, unit });

/** The record in the form in which it is posted. A patch is applied to it. */
export function inputOf(vehicle: Vehicle): VehicleInput {
  const {
    unitNumber,
    depotId,
    specSheetId,
    intervalPlanId,
    duty,
    status,
    vin,
    serialNumber,
    make,
    model,
    modelYear,
    mountedOn,
    inUseMonths,
    inServiceOn,
  } = vehicle;
  return {
    ...{
      unitNumber,
      depotId,
      specSheetId,
      intervalPlanId,
      duty,
      status,
      vin,
      serialNumber,
      make,
      model,
      modelYear,
      mountedOn,
      inUseMonths,
      inServiceOn,
    },
    inServiceOdometer: quantity(vehicle.inServiceOdometerKm, 'km'),
    inServiceEngineHours: quantity(vehicle.inServiceEngineHours, 'h'),
    expectedDailyDistance: quantity(vehicle.expectedDailyKm, 'km'),
    expectedDailyEngineHours: quantity(vehicle.expectedDailyHours, 'h'),
    designLowTemperature: quantity(vehicle.designLowTemperatureC, 'C'),
  };
}

export function viewOf(
  vehicle: Vehicle,
  releasedWithFindings: VehicleView['releasedWithFindings'] = null,
): VehicleView {
  return {
    id: vehicle.id,
    releasedWithFindings,
    ...inputOf(vehicle),
    inServiceOdometer: optionalMeasure('distance', vehicle.inServiceOdometerKm),
    inServiceEngineHours: optionalMeasure('engine-hours', vehicle.inServiceEngineHours),
    expectedDailyDistance: optionalMeasure('distance', vehicle.expectedDailyKm),
    expectedDailyEngineHours: optionalMeasure('engine-hours', vehicle.expectedDailyHours),
    designLowTemperature: optionalMeasure('temperature', vehicle.designLowTemperatureC),
    version: vehicle.version,
    notices: vehicleNotices(vehicle).map(
      (notice) => shownFault(notice, currentReader()) as unknown as VehicleNotice,
    ),
  };
}
