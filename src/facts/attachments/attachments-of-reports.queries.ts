import { type EntityManager, In } from 'typeorm';
import { Attachment } from '../../entities/attachment.entity.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { type AttachmentView, attachmentView } from './attachment.dto.js';

/** The attachments of the given reports, by report, in order of arrival. */
export async function attachmentsOf(
  manager: EntityManager,
  jobReportIds: readonly string[],
): Promise<Map<string, AttachmentView[]>> {
  const found = new Map<string, AttachmentView[]>();
  const rows = await manager.find(Attachment, {
    where: { fleetId: fleetScope().fleetId, jobReportId: In([...jobReportIds]) },
    order: { id: 'ASC' },
  });
  for (const row of rows)
    found.set(row.jobReportId, [...(found.get(row.jobReportId) ?? []), attachmentView(row)]);
  return found;
}
