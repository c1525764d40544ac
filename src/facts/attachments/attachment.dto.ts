import { ApiProperty } from '@nestjs/swagger';
import type { Attachment, MediaType } from '../../entities/attachment.entity.js';
import { VoidedView } from '../../platform/words/void-reason.dto.js';
import { shownVoidReason } from '../../platform/words/void-reason.js';
import { MEDIA_TYPES } from './media-types.js';

export class AttachmentView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid', nullable: true, type: String, description: 'The job it is evidence of' })
  jobReportId!: string | null;
  @ApiProperty({ format: 'uuid', nullable: true, type: String, description: 'The defect it is evidence of' })
  defectId!: string | null;
  @ApiProperty({ enum: MEDIA_TYPES, description: 'By its content' }) mediaType!: MediaType;
  @ApiProperty({ type: 'integer', description: 'As it is kept' }) sizeBytes!: number;
  @ApiProperty({ description: 'SHA-256 of the stored file, in hexadecimal' }) sha256!: string;
  @ApiProperty({
    description: 'SHA-256 of the file as it was sent; the stored image has less metadata',
  })
  receivedSha256!: string;
  @ApiProperty({ format: 'date-time' }) receivedAt!: string;
  @ApiProperty({ format: 'uri-reference', description: 'Where its bytes are' }) href!: string;
  @ApiProperty({ type: () => VoidedView, nullable: true }) voided!: VoidedView | null;
}

export class AttachmentList {
  @ApiProperty({ type: () => [AttachmentView] }) items!: AttachmentView[];
}

export function attachmentView(attachment: Attachment): AttachmentView {
  const { id, jobReportId, defectId, mediaType, sizeBytes, sha256, receivedSha256, voidedAt } = attachment;
  return {
    ...{ id, jobReportId, defectId, mediaType, sizeBytes },
    sha256: sha256.toString('hex'),
    receivedSha256: receivedSha256.toString('hex'),
    receivedAt: attachment.receivedAt.toISOString(),
    href: `/v1/${defectId === null ? `job-reports/${jobReportId}` : `defects/${defectId}`}/attachments/${id}`,
    voided: voidedAt && { at: voidedAt.toISOString(), reason: shownVoidReason(attachment.voidReason) },
  };
}
