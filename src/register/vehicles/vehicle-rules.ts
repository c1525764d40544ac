import { type VinFault, vinFault } from '../../domain/vehicles/vin.js';
import { type FieldFault, noSuch } from '../../platform/problems/problem.js';
import type { Vehicle } from '../../entities/vehicle.entity.js';
import type { Message } from '../../domain/message.js';
import { dateToCome } from '../../platform/fields/wording.js';
import { message } from './messages.js';

/** Faults of a vehicle that do not depend on the rest of the fleet. */
export function vehicleFaults(vehicle: Vehicle, today: string): FieldFault[] {
  const faults: FieldFault[] = [];
  const vin = vinFaultOf(vehicle);
  if (vin?.isNotice === false) faults.push({ pointer: '/vin', detail: vin.detail });
  if (vehicle.mountedOn === vehicle.id)
    faults.push({ pointer: '/mountedOn', detail: message('vehicle-names-itself') });
  if (vehicle.inServiceOn !== null && vehicle.inServiceOn > today)
    faults.push({
      pointer: '/inServiceOn',
      detail: dateToCome(vehicle.inServiceOn),
    });
  return faults;
}

/** Things worth checking that may be right anyway. */
export function vehicleNotices(vehicle: Pick<Vehicle, 'vin' | 'modelYear'>): FieldFault[] {
  const vin = vinFaultOf(vehicle);
  return vin?.isNotice === true ? [{ pointer: '/vin', detail: vin.detail }] : [];
}

function vinFaultOf({ vin, modelYear }: Pick<Vehicle, 'vin' | 'modelYear'>): VinFault | null {
  return vin === null ? null : vinFault(vin, modelYear);
}

/**
 * Why a unit cannot be mounted on a vehicle. Null when it can. Whether the unit carries others
 * itself must be checked in the database.
 */
export function carrierFault(unit: Vehicle, carrier: Vehicle | null): Message | null {
  if (carrier === null) return noSuch('vehicle');
  if (carrier.id === unit.id) return message('vehicle-names-itself');
  if (carrier.status === 'disposed' && unit.status !== 'disposed')
    return message('vehicle-carrier-disposed', { carrier: carrier.unitNumber });
  if (carrier.mountedOn !== null) return message('vehicle-carrier-mounted', { carrier: carrier.unitNumber });
  return null;
}
