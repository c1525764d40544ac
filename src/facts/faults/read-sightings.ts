import { CLOCK_TOLERANCE_MS } from '../../domain/calendar/device-clock.js';
import { faultCodeIn } from '../../domain/faults/fault-code.js';
import type { FaultCode, FaultSighting } from '../../domain/faults/fault-sighting.js';
import { domainFaults } from '../../platform/problems/domain-faults.js';
import type { FieldFault } from '../../platform/problems/problem.js';
import type { FaultInput } from './fault.dto.js';
import { message } from './messages.js';

/** A posted fault as it was read, with all that is wrong with it. */
export interface ReadSighting {
  /** Null for a code that is none. */
  sighting: FaultSighting | null;
  /** How the vehicle is named, and where; null if it is not. */
  vehicle: { name: string; pointer: string } | null;
  faults: readonly FieldFault[];
}

/** Reads posted faults. A code that is none, a time ahead and a vehicle without name are faults. */
export function readSightings(faults: readonly FaultInput[], now: Date): ReadSighting[] {
  return faults.map((fault, index) => readSighting(fault, `/faults/${index}`, now));
}

function readSighting(fault: FaultInput, place: string, now: Date): ReadSighting {
  const { code, seenAt, active, occurrences } = fault;
  let read: FaultCode | null = null;
  const faults = domainFaults({ code: `${place}/code` }, place, () => (read = faultCodeIn(code)));
  const at = new Date(seenAt).getTime();
  if (at > now.getTime() + CLOCK_TOLERANCE_MS) {
    const detail = message('fault-seen-ahead', { seenAt, now: now.toISOString() });
    faults.push({ pointer: `${place}/seenAt`, detail });
  }
  const vehicle = vehicleIn(fault, place);
  if (vehicle === null)
    faults.push({ pointer: `${place}/vehicleId`, detail: message('fault-without-vehicle') });
  const isActive = active ?? true;
  const sighting = read && { at, code: read, isActive, occurrences: occurrences ?? null };
  return { sighting, vehicle, faults };
}

function vehicleIn({ vehicleId, unitNumber }: FaultInput, place: string): ReadSighting['vehicle'] {
  if (vehicleId != null) return { name: vehicleId.toLowerCase(), pointer: `${place}/vehicleId` };
  return unitNumber == null ? null : { name: unitNumber, pointer: `${place}/unitNumber` };
}
