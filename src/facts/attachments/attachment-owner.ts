import type { EntityManager, EntityTarget } from 'typeorm';
import { Defect } from '../../entities/defect.entity.js';
import { JobReport } from '../../entities/job-report.entity.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';

/** What a file is evidence of: its column in the table, and the id. */
export interface AttachmentOwner {
  column: 'jobReportId' | 'defectId';
  id: string;
}

export const ofReport = (id: string): AttachmentOwner => ({ column: 'jobReportId', id });
export const ofDefect = (id: string): AttachmentOwner => ({ column: 'defectId', id });

/** The columns of an attachment that say what it is evidence of. */
export function ownerColumns({ column, id }: AttachmentOwner): {
  jobReportId: string | null;
  defectId: string | null;
} {
  return { jobReportId: null, defectId: null, [column]: id };
}

type Kind = [EntityTarget<JobReport | Defect>, 'job report' | 'defect'];

const kindOf = ({ column }: AttachmentOwner): Kind =>
  column === 'jobReportId' ? [JobReport, 'job report'] : [Defect, 'defect'];

/** @throws Problem 404 when there is no such report or defect */
export async function assertOwner(manager: EntityManager, owner: AttachmentOwner): Promise<void> {
  const [entity, what] = kindOf(owner);
  await rowOf(manager, entity, owner.id, what);
}

/** Locks what a file is to be attached to. @throws Problem 404 */
export async function lockOwner(tx: EntityManager, owner: AttachmentOwner): Promise<void> {
  const [entity, what] = kindOf(owner);
  await lockedRowOf(tx, entity, owner.id, what);
}
