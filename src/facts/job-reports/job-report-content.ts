import type { Message } from '../../domain/message.js';
import { contentHash } from '../../platform/access/content-hash.js';
import { signedInName } from '../../platform/scope/fleet-scope.js';
import { recordedCircuit, type VehicleCircuits } from '../../domain/vehicles/circuits.js';
import { type KnownCircuits, workCircuitFault } from '../readings/circuits-of-vehicle.js';
import type { OccasionJob } from '../readings/occasion.js';
import type { JobLineInput, JobReportInput } from './job-report.dto.js';
import { message } from './messages.js';

/**
 * The hash that identifies a report. It leaves out when the report was sent, which differs with
 * every attempt.
 */
export function hashOf({ sentAt: _sentAt, ...content }: JobReportInput): Buffer {
  return contentHash(content);
}

/**
 * What is wrong with the belt that a line names: it is missing although the vehicle has several, or
 * it is unknown. Null when the belt is clear.
 */
export function itemFault(line: JobLineInput, belts: { name: string }[]): Message | null {
  if (line.component !== 'drive-belt' || belts.length === 0) return null;
  const names = belts.map((belt) => belt.name);
  if (line.item == null) return belts.length > 1 ? message('job-belt-missing', { belts: names }) : null;
  return belts.some((belt) => belt.name === line.item)
    ? null
    : message('job-belt-unknown', { item: line.item, belts: names });
}

/** A line as it is recorded, of a vehicle with these circuits. */
export function lineOf(
  line: JobLineInput,
  position: number,
  circuits: VehicleCircuits,
): OccasionJob['lines'][number] {
  const { component, action, item = null, partNumber = null, lot = null, finding = null, failed } = line;
  const circuit = recordedCircuit(line.circuit, circuits);
  return { position, component, action, item, circuit, partNumber, lot, finding, failed: failed ?? false };
}

/**
 * What is wrong with a line that is valid by itself, and with which of its fields; null: nothing.
 */
export function lineFault(
  line: JobLineInput,
  belts: { name: string }[],
  circuits: KnownCircuits,
): { field: 'item' | 'circuit'; detail: Message } | null {
  const item = itemFault(line, belts);
  if (item !== null) return { field: 'item', detail: item };
  const circuit = workCircuitFault(line, circuits);
  return circuit === null ? null : { field: 'circuit', detail: circuit };
}

export function columnsOf(input: JobReportInput, hash: Buffer): Record<string, unknown> {
  return {
    sent_at: input.sentAt ?? null,
    performed_by: input.performedBy ?? signedInName(),
    worked_at_depot_id: input.workedAtDepotId ?? null,
    released_for_service: input.releasedForService ?? null,
    notes: input.notes ?? null,
    supersedes_id: input.supersedes?.toLowerCase() ?? null,
    content_hash: hash.toString('hex'),
  };
}
