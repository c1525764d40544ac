import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { ConclusionsService } from '../../conclusions/pipeline/conclusions.service.js';
import type { Message } from '../../domain/message.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { conflict, type Problem } from '../../platform/problems/problem.js';
import { Reading } from '../../entities/reading.entity.js';
import { lockVehicles } from '../../register/vehicles/vehicles.queries.js';
import { JobReport } from '../../entities/job-report.entity.js';
import { message } from './messages.js';
import { message as shared } from '../../platform/words/messages.js';
import { type VoidReason, voidReasonTold } from '../../platform/words/void-reason.js';
import type { ProblemSlug } from '../../platform/problems/problem-kinds.js';

/** How long the sender of a report may replace it after it arrived. */
export const REPLACEABLE_MS = 24 * 3_600_000;

/**
 * Voids reports. The lines that they reset count from earlier work again. The reports stay on
 * record, with the reason.
 */
@Injectable()
export class VoidingService {
  constructor(
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /** Voids a report and concludes without it. Its vehicle must be locked. */
  async void(
    tx: EntityManager,
    { id, vehicleId, performedAt }: Pick<JobReport, 'id' | 'vehicleId' | 'performedAt'>,
    reason: VoidReason,
  ): Promise<void> {
    const { fleetId } = fleetScope();
    const voidedAt = this.clock.now();
    await tx.update(JobReport, { fleetId, id }, { voidedAt, voidReason: reason });
    await tx.update(Reading, { fleetId, jobReportId: id }, { voidedAt });
    await tx.query(
      `update usage_readings set decision = 'voided', decided_at = $3 where fleet_id = $1 and job_report_id = $2`,
      [fleetId, id, voidedAt],
    );
    await tx.query('update completions set voided = true where fleet_id = $1 and job_report_id = $2', [
      fleetId,
      id,
    ]);
    await this.conclusions.refresh(tx, [{ vehicleId, usageFrom: performedAt }]);
  }

  /**
   * The report that a new one is to replace, or null when there is none. Locks the vehicles of
   * both, as the old report may have named the wrong vehicle.
   */
  async lockReplaced(tx: EntityManager, id: string, vehicleId: string): Promise<JobReport | null> {
    const { fleetId } = fleetScope();
    const found = await tx.findOneBy(JobReport, { fleetId, id });
    if (!found) return null;
    await lockVehicles(tx, fleetId, [vehicleId, found.vehicleId], []);
    return tx.findOneBy(JobReport, { fleetId, id });
  }

  /** @throws Problem 409 when the report may not be replaced, or not by this token */
  assertReplaceable(report: JobReport): void {
    const { role, tokenId } = fleetScope();
    if (report.supersededById) {
      throw refused('already-superseded', message('job-superseded-already', { byId: report.supersededById }));
    }
    if (report.voidedAt)
      throw refused(
        'already-voided',
        message('job-superseded-voided', { reason: voidReasonTold(report.voidReason) }),
      );
    if (role === 'manager') return;
    if (tokenId === null || report.tokenId !== tokenId)
      throw refused('not-own-report', message('job-superseded-not-own'));
    if (this.clock.now().getTime() - report.receivedAt.getTime() > REPLACEABLE_MS) {
      throw refused(
        'too-late-to-replace',
        message('job-superseded-too-late', { receivedAt: report.receivedAt.toISOString() }),
      );
    }
  }

  /** Voids a report that a new one is about to replace. */
  replace(tx: EntityManager, report: JobReport, byId: string): Promise<void> {
    return this.void(tx, report, shared('voided-superseded', { by: byId }));
  }

  /** Records which report replaced another. Call it after the new report is stored. */
  async noteReplaced(tx: EntityManager, { fleetId, id }: JobReport, byId: string): Promise<void> {
    await tx.update(JobReport, { fleetId, id }, { supersededById: byId });
  }
}

function refused(slug: ProblemSlug, detail: Message): Problem {
  return conflict(slug, detail, [{ pointer: '/supersedes', detail }]);
}
