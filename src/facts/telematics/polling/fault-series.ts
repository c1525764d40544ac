import type { EntityManager } from 'typeorm';
import type { TelematicsMachine } from '../../../entities/telematics-source.entity.js';

/** Machines whose fault codes one poll asks for: a request each, so only a few at a time. */
const MACHINES_A_POLL = 20;
/** How far back the first request goes, and any other at most. */
const MOST_BACK_MS = 14 * 86_400_000;

export type MachineToAsk = Pick<
  TelematicsMachine,
  'id' | 'vin' | 'serialNumber' | 'equipmentId' | 'make' | 'model' | 'faultsAskedAt'
>;

/** The machines that are vehicles and were not asked about for the longest time. */
export function machinesToAsk(
  manager: EntityManager,
  fleetId: string,
  sourceId: string,
): Promise<MachineToAsk[]> {
  return manager.query<MachineToAsk[]>(
    `select id, vin, serial_number as "serialNumber", equipment_id as "equipmentId", make, model, faults_asked_at as "faultsAskedAt"
     from telematics_machines where fleet_id = $1 and source_id = $2 and vehicle_id is not null
     order by faults_asked_at nulls first, id limit ${MACHINES_A_POLL}`,
    [fleetId, sourceId],
  );
}

/** Records up to when a machine's fault codes have been asked for. */
export async function markAsked(
  manager: EntityManager,
  fleetId: string,
  machineId: string,
  until: Date,
): Promise<void> {
  await manager.query('update telematics_machines set faults_asked_at = $3 where fleet_id = $1 and id = $2', [
    fleetId,
    machineId,
    until,
  ]);
}

/**
 * The address of a machine's fault codes: `…/Fleet/Equipment/ID/{PIN}/Faults/{start}/{end}/{page}`
 * beside the snapshot at `…/Fleet/{page}` (ISO/TS 15143-3, 8.3; the path is from memory).
 */
export function faultsAddress(
  snapshot: string,
  { vin, serialNumber, equipmentId, faultsAskedAt }: MachineToAsk,
  until: Date,
): URL {
  const earliest = until.getTime() - MOST_BACK_MS;
  const since = new Date(Math.max(earliest, faultsAskedAt?.getTime() ?? earliest));
  const machine = encodeURIComponent(vin ?? serialNumber ?? equipmentId ?? '');
  const address = new URL(snapshot);
  const fleet = address.pathname.replace(/\/\d*$/, '');
  address.pathname = `${fleet}/Equipment/ID/${machine}/Faults/${seconds(since)}/${seconds(until)}/1`;
  return address;
}

/** To the second: not every server reads fractions. */
const seconds = (at: Date): string => at.toISOString().replace(/\.\d+Z$/, 'Z');
