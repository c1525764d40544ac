import type { WorkLine } from '../intervals/types.js';
import type { CardOfCircuits } from '../job-card/job-card-of-circuits.js';
import type { SheetBelt } from '../job-card/to-bring/belts-for-job.js';
import type { CircuitName } from '../vehicles/circuits.js';

/** A visit, with the job card of its work: what a pick list is made from. */
export interface VisitToPick {
  visitId: string;
  vehicleId: string;
  unitNumber: string;
  /** Null: the vehicle has none. Vehicles with the same sheet take the same parts. */
  sheetId: string | null;
  /** The name of the vehicle's first circuit. */
  firstCircuit: CircuitName;
  lines: readonly WorkLine[];
  /** The belts of the sheet. */
  belts: readonly SheetBelt[];
  card: CardOfCircuits;
}

/** The vehicle that something is for. */
export interface ForVehicle {
  visitId: string;
  vehicleId: string;
  unitNumber: string;
}

export function vehicleOf({ visitId, vehicleId, unitNumber }: ForVehicle): ForVehicle {
  return { visitId, vehicleId, unitNumber };
}
