import { type EntityManager, In } from 'typeorm';
import { Attachment } from '../../entities/attachment.entity.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { type AttachmentView, attachmentView } from './attachment.dto.js';
import type { AttachmentOwner } from './attachment-owner.js';

/** The attachments of the given reports or defects, by their ids, in order of arrival. */
export async function attachmentsOf(
  manager: EntityManager,
  ids: readonly string[],
  column: AttachmentOwner['column'] = 'jobReportId',
): Promise<Map<string, AttachmentView[]>> {
  const found = new Map<string, AttachmentView[]>();
  const rows = await manager.find(Attachment, {
    where: { fleetId: fleetScope().fleetId, [column]: In([...ids]) },
    order: { id: 'ASC' },
  });
  for (const row of rows) {
    const owner = row[column];
    if (owner !== null) found.set(owner, [...(found.get(owner) ?? []), attachmentView(row)]);
  }
  return found;
}
