import { type VinFault, vinFault } from '../../domain/vehicles/vin.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import type { Vehicle } from '../../entities/vehicle.entity.js';

/** What no vehicle can be, whatever else the fleet has. */
export function vehicleFaults(vehicle: Vehicle, today: string): FieldFault[] {
  const faults: FieldFault[] = [];
  const vin = vinFaultOf(vehicle);
  if (vin?.isNotice === false) faults.push({ pointer: '/vin', detail: vin.detail });
  if (vehicle.mountedOn === vehicle.id)
    faults.push({ pointer: '/mountedOn', detail: 'names the vehicle itself' });
  if (vehicle.inServiceOn !== null && vehicle.inServiceOn > today)
    faults.push({ pointer: '/inServiceOn', detail: `is ${vehicle.inServiceOn}, which is yet to come` });
  return faults;
}

/** What is worth looking into, and may be right all the same. */
export function vehicleNotices(vehicle: Pick<Vehicle, 'vin' | 'modelYear'>): FieldFault[] {
  const vin = vinFaultOf(vehicle);
  return vin?.isNotice === true ? [{ pointer: '/vin', detail: vin.detail }] : [];
}

function vinFaultOf({ vin, modelYear }: Pick<Vehicle, 'vin' | 'modelYear'>): VinFault | null {
  return vin === null ? null : vinFault(vin, modelYear);
}

/**
 * Why a unit cannot be mounted on a vehicle; null when it can. What the unit carries itself is
 * asked of the database.
 */
export function carrierFault(unit: Vehicle, carrier: Vehicle | null): string | null {
  if (carrier === null) return 'there is no such vehicle in this fleet';
  if (carrier.id === unit.id) return 'names the vehicle itself';
  if (carrier.status === 'disposed' && unit.status !== 'disposed')
    return `names ${carrier.unitNumber}, which is disposed of`;
  if (carrier.mountedOn !== null)
    return `names ${carrier.unitNumber}, which is itself mounted on another vehicle; name that one`;
  return null;
}
