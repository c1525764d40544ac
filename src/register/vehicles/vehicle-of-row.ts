import { v7 as uuidv7 } from 'uuid';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { faultsIn } from '../../platform/input/validation.pipe.js';
import { columnsOf } from './vehicle-columns.js';
import { columnAt, type VehicleRow } from './vehicle-csv.js';
import { VehicleInput } from './vehicle.dto.js';
import { Vehicle } from '../../entities/vehicle.entity.js';
import { carrierFault, vehicleFaults } from './vehicle-rules.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** The line on which each unit number and VIN of a file occurs first. */
export class FirstSeen {
  private readonly units = new Map<string, { line: number; isMounted: boolean }>();
  private readonly vins = new Map<string, number>();

  remember({ line, input: { unitNumber, vin }, mountedOn }: VehicleRow): void {
    if (!this.units.has(unitNumber)) this.units.set(unitNumber, { line, isMounted: mountedOn !== null });
    if (vin && !this.vins.has(vin)) this.vins.set(vin, line);
  }

  /** The first line with a unit number, and whether that vehicle is mounted on another. */
  unit(unitNumber: string): { line: number; isMounted: boolean } | undefined {
    return this.units.get(unitNumber);
  }

  isFirstOfUnit({ line, input: { unitNumber } }: VehicleRow): boolean {
    return this.units.get(unitNumber)?.line === line;
  }

  vin(vin: string | null | undefined): number | undefined {
    return vin ? this.vins.get(vin) : undefined;
  }
}

/**
 * Makes a vehicle from a row, and notes the row's faults. Returns null when it makes none.
 *
 * @param carriers carriers, by the names that rows give them
 */
export function vehicleOfRow(
  row: VehicleRow,
  carriers: ReadonlyMap<string, Vehicle>,
  seen: FirstSeen,
  today: string,
): Vehicle | null {
  const { input, faults, mountedOn } = row;
  noteInputFaults(row);
  noteRepeated(row, seen);
  if (faults.length > 0) return null;
  const vehicle = Object.assign(new Vehicle(), {
    fleetId: fleetScope().fleetId,
    id: uuidv7(),
    version: 1,
    ...columnsOf(input),
  });
  for (const { pointer, detail } of vehicleFaults(vehicle, today)) addFault(row, columnAt(pointer), detail);
  if (mountedOn !== null) {
    const carrier = carriers.get(mountedOn) ?? null;
    const fault = mountingFault(vehicle, mountedOn, carrier, seen);
    if (fault !== null) addFault(row, 'mountedOn', fault, mountedOn);
    vehicle.mountedOn = carrier?.id ?? null;
    vehicle.depotId ??= carrier?.depotId ?? null;
  }
  return vehicle;
}

/** Notes faults by the rules of the API. */
function noteInputFaults(row: VehicleRow): void {
  const values = row.input as unknown as Record<string, { value?: number } | undefined>;
  for (const { pointer, detail } of faultsIn(VehicleInput, row.input)) {
    const column = columnAt(pointer);
    const amount = values[column]?.value;
    addFault(row, column, detail, amount === undefined ? undefined : String(amount));
  }
}

function noteRepeated(row: VehicleRow, seen: FirstSeen): void {
  const { line, input } = row;
  const repeats = (column: string, first: number | undefined): void => {
    if (first !== undefined && first !== line)
      addFault(row, column, message('vehicle-on-other-line', { first, line }));
  };
  repeats('unitNumber', seen.unit(input.unitNumber)?.line);
  repeats('vin', seen.vin(input.vin));
}

function mountingFault(
  vehicle: Vehicle,
  mountedOn: string,
  carrier: Vehicle | null,
  seen: FirstSeen,
): Message | null {
  if (mountedOn === vehicle.unitNumber) return message('vehicle-names-itself');
  const inFile = carrier === null ? seen.unit(mountedOn) : undefined;
  if (inFile?.isMounted) return message('vehicle-carrier-mounted', { carrier: mountedOn });
  if (inFile) return message('vehicle-carrier-not-taken', { carrier: mountedOn, line: inFile.line });
  return carrierFault(vehicle, carrier);
}

/** @param value the text of the cell; by default the text or number in the input */
function addFault(
  { input, faults }: VehicleRow,
  column: string,
  detail: Message,
  value = cellOf(input, column),
): void {
  faults.push({ column, detail, ...(value === undefined ? {} : { value }) });
}

function cellOf(input: VehicleInput, column: string): string | undefined {
  const value = (input as unknown as Record<string, unknown>)[column];
  return typeof value === 'string' || typeof value === 'number' ? String(value) : undefined;
}
