import type { Message } from '../../domain/message.js';
import { contentHash } from '../../platform/access/content-hash.js';
import type { OccasionJob } from '../readings/occasion.js';
import type { JobLineInput, JobReportInput } from './job-report.dto.js';
import { message } from './messages.js';

/**
 * The content by which a report is known again: all but when it was sent, which differs with every
 * try.
 */
export function hashOf({ sentAt: _sentAt, ...content }: JobReportInput): Buffer {
  return contentHash(content);
}

/** Which belt was meant, where a vehicle has several; null when it is clear. */
export function itemFault(line: JobLineInput, belts: { name: string }[]): Message | null {
  if (line.component !== 'drive-belt' || belts.length === 0) return null;
  const names = belts.map((belt) => belt.name);
  if (line.item == null) return belts.length > 1 ? message('job-belt-missing', { belts: names }) : null;
  return belts.some((belt) => belt.name === line.item)
    ? null
    : message('job-belt-unknown', { item: line.item, belts: names });
}

export function lineOf(line: JobLineInput, position: number): OccasionJob['lines'][number] {
  const { component, action, item = null, partNumber = null, lot = null, finding = null, failed } = line;
  return { position, component, action, item, partNumber, lot, finding, failed: failed ?? false };
}

export function columnsOf(input: JobReportInput, hash: Buffer): Record<string, unknown> {
  return {
    sent_at: input.sentAt ?? null,
    performed_by: input.performedBy ?? null,
    worked_at_depot_id: input.workedAtDepotId ?? null,
    released_for_service: input.releasedForService ?? null,
    notes: input.notes ?? null,
    supersedes_id: input.supersedes?.toLowerCase() ?? null,
    content_hash: hash.toString('hex'),
  };
}
