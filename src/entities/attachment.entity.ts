import { Check, Column, Entity, ForeignKey, Index, PrimaryColumn, Unique } from 'typeorm';
import { Defect } from './defect.entity.js';
import { JobReport } from './job-report.entity.js';
import type { VoidReason } from '../platform/words/void-reason.js';

export type MediaType = 'image/jpeg' | 'image/png' | 'image/webp' | 'application/pdf';

/**
 * A photo or document as evidence of a job or a defect. Its bytes are in the file store. A row has
 * its complete file until it is voided. Then the file is removed, and the row says when.
 */
@Entity('attachments')
@ForeignKey(() => JobReport, ['fleetId', 'jobReportId'], ['fleetId', 'id'], {
  name: 'attachments_job_report_fk',
})
@ForeignKey(() => Defect, ['fleetId', 'defectId'], ['fleetId', 'id'], { name: 'attachments_defect_fk' })
@Unique('attachments_content_uq', ['fleetId', 'jobReportId', 'receivedSha256'])
@Unique('attachments_defect_content_uq', ['fleetId', 'defectId', 'receivedSha256'])
@Check('attachments_owner_ck', `("job_report_id" is null) <> ("defect_id" is null)`)
@Index('attachments_stored_ix', ['fleetId', 'sizeBytes'], { where: 'voided_at is null' })
@Check(
  'attachments_media_type_ck',
  `"media_type" in ('image/jpeg', 'image/png', 'image/webp', 'application/pdf')`,
)
@Check('attachments_void_ck', `("voided_at" is null) = ("void_reason" is null)`)
@Check('attachments_removed_ck', `"bytes_removed_at" is null or "voided_at" is not null`)
@Index('attachments_to_remove_ix', ['fleetId', 'voidedAt', 'id'], {
  where: 'voided_at is not null and bytes_removed_at is null',
})
export class Attachment {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'attachments_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'attachments_pk' }) id!: string;
  /** The job or the defect that it is evidence of. */
  @Column('uuid', { nullable: true }) jobReportId!: string | null;
  @Column('uuid', { nullable: true }) defectId!: string | null;
  @Column('text') mediaType!: MediaType;
  @Column('integer') sizeBytes!: number;
  /** Of the stored file. */
  @Column('bytea') sha256!: Buffer;
  /** Of the file as it was sent. Identifies the same file when it is sent again. */
  @Column('bytea') receivedSha256!: Buffer;
  @Column('uuid', { nullable: true }) tokenId!: string | null;
  @Column('timestamp with time zone', { default: () => 'now()' }) receivedAt!: Date;
  @Column('timestamp with time zone', { nullable: true }) voidedAt!: Date | null;
  @Column('jsonb', { nullable: true }) voidReason!: VoidReason | null;
  /** When its bytes were removed from the store. Null while they are, or may be, still there. */
  @Column('timestamp with time zone', { nullable: true }) bytesRemovedAt!: Date | null;
}

/**
 * A file that is on its way into the store. A row that stays here belongs to an upload that failed.
 */
@Entity('attachment_uploads')
@Index('attachment_uploads_started_ix', ['fleetId', 'startedAt'])
export class AttachmentUpload {
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'attachment_uploads_pk' }) fleetId!: string;
  @PrimaryColumn('uuid', { primaryKeyConstraintName: 'attachment_uploads_pk' }) id!: string;
  @Column('timestamp with time zone') startedAt!: Date;
}
