import type { MachineIdentity } from '../documents/machine-report.js';

/**
 * What a source knows a machine by, so that it is recognised when it comes again: its VIN, else its
 * serial number with the make, else the name that the source gave it.
 */
export function machineKey({ vin, serialNumber, equipmentId, make }: MachineIdentity): string {
  if (vin !== null) return `vin ${vin}`;
  if (serialNumber !== null) return `serial ${(make ?? '').toLowerCase()} ${serialNumber}`;
  return `id ${equipmentId}`;
}

/** The name of a machine for people. */
export function machineName({ vin, serialNumber, equipmentId }: MachineIdentity): string {
  return vin ?? serialNumber ?? equipmentId ?? '';
}
