import type { EntityManager } from 'typeorm';
import type { Attachment } from '../../entities/attachment.entity.js';

/**
 * Inserts an attachment and deletes the note of its upload.
 *
 * @returns false when the report or defect already has a file with that content
 */
export async function insertAttachment(tx: EntityManager, attachment: Attachment): Promise<boolean> {
  const { fleetId, id, jobReportId, defectId, mediaType, sizeBytes } = attachment;
  const { sha256, receivedSha256, tokenId, receivedAt } = attachment;
  const rows = await tx.query<unknown[]>(
    `with made as (
       insert into attachments (fleet_id, id, job_report_id, defect_id, media_type, size_bytes, sha256, received_sha256, token_id, received_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10) on conflict do nothing returning id),
     arrived as (delete from attachment_uploads u using made where u.fleet_id = $1 and u.id = made.id)
     select id from made`,
    [fleetId, id, jobReportId, defectId, mediaType, sizeBytes, sha256, receivedSha256, tokenId, receivedAt],
  );
  return rows.length > 0;
}

/** Failed uploads of the fleet that began before an instant, the oldest first. */
export async function strandedUploads(
  manager: EntityManager,
  fleetId: string,
  before: Date,
  most: number,
): Promise<string[]> {
  const rows = await manager.query<{ id: string }[]>(
    `select id from attachment_uploads where fleet_id = $1 and started_at < $2 order by started_at limit $3`,
    [fleetId, before, most],
  );
  return rows.map(({ id }) => id);
}

/**
 * Voided attachments of the fleet whose bytes may still be in the store, the earliest voided first.
 */
export async function voidedWithBytes(
  manager: EntityManager,
  fleetId: string,
  most: number,
): Promise<string[]> {
  const rows = await manager.query<{ id: string }[]>(
    `select id from attachments where fleet_id = $1 and voided_at is not null and bytes_removed_at is null
     order by voided_at, id limit $2`,
    [fleetId, most],
  );
  return rows.map(({ id }) => id);
}

/** Records that the bytes of voided attachments are gone. */
export async function markRemoved(
  manager: EntityManager,
  fleetId: string,
  ids: readonly string[],
  at: Date,
): Promise<void> {
  await manager.query(
    `update attachments set bytes_removed_at = $3
     where fleet_id = $1 and id = any($2::uuid[]) and voided_at is not null and bytes_removed_at is null`,
    [fleetId, ids, at],
  );
}
