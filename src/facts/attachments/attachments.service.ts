import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { JobReport } from '../../entities/job-report.entity.js';
import { contentHash } from '../../platform/access/content-hash.js';
import { Clock } from '../../platform/clock/clock.js';
import { Config } from '../../platform/config/config.js';
import { fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions, type Written } from '../../platform/database/transactions.js';
import { conflict, notFound, Problem } from '../../platform/problems/problem.js';
import { IncomingFiles } from '../../platform/storage/incoming-files.js';
import { type AttachmentView, attachmentView } from './attachment.dto.js';
import { Attachment } from '../../entities/attachment.entity.js';
import { assertFleetHasRoom } from './attachment-room.js';
import { AttachmentFilesService } from './attachment-files.service.js';
import { AttachmentThreads } from './attachment-threads.js';
import { attachmentsOf } from './attachments-of-reports.queries.js';
import { insertAttachment } from './attachments.queries.js';
import { type ReceivedAttachment, receiveAttachment } from './receive-attachment.js';
import { UploadPlaces } from './upload-places.js';
import { message } from './messages.js';
import { voidReasonTold } from '../../platform/words/void-reason.js';

export const MAX_ATTACHMENTS = 40;

/** Passes on a request's file while it arrives. */
export type Receive = <T>(take: (chunks: AsyncIterable<Buffer>) => Promise<T>) => Promise<T>;

@Injectable()
export class AttachmentsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly files: AttachmentFilesService,
    private readonly incoming: IncomingFiles,
    private readonly threads: AttachmentThreads,
    private readonly places: UploadPlaces,
    private readonly clock: Clock,
    private readonly config: Config,
  ) {}

  /**
   * Attaches a file to a report. If the report already has the file, returns the first response
   * again.
   */
  async attach(jobReportId: string, receive: Receive): Promise<Required<Written<AttachmentView>>> {
    const { manager } = this.dataSource;
    await rowOf(manager, JobReport, jobReportId, 'job report');
    return this.places.within(fleetScope().fleetId, () => this.attachNow(jobReportId, receive));
  }

  private async attachNow(jobReportId: string, receive: Receive): Promise<Required<Written<AttachmentView>>> {
    const paths = { received: await this.incoming.newPath(), kept: await this.incoming.newPath() };
    try {
      const received = await receive((chunks) => receiveAttachment(chunks, paths, this.threads));
      // The idempotency key applies to the file, whose content is known only now.
      const scope = fleetScope();
      const idempotency = scope.idempotency && {
        ...scope.idempotency,
        requestHash: contentHash(received.receivedSha256.toString('hex')),
      };
      return await inFleet({ ...scope, idempotency }, () => this.record(jobReportId, received, paths.kept));
    } finally {
      for (const path of Object.values(paths)) await this.incoming.discard(path);
      await this.files.sweep();
    }
  }

  private async record(
    jobReportId: string,
    received: ReceivedAttachment,
    path: string,
  ): Promise<Required<Written<AttachmentView>>> {
    const { fleetId, tokenId } = fleetScope();
    const { manager } = this.dataSource;
    const isKnown = (await this.ofContent(manager, jobReportId, received)) !== null;
    if (!isKnown) await this.assertRoom(manager, jobReportId, received);
    const id = uuidv7();
    if (!isKnown) await this.files.keep(id, path, received.sizeBytes);
    let isStored = false;
    try {
      return await this.transactions.writeWith(async (tx) => {
        isStored = false;
        // Uploads to the same report wait for each other, so that none misses another.
        await lockedRowOf(tx, JobReport, jobReportId, 'job report');
        const known = await this.ofContent(tx, jobReportId, received);
        if (known) return { body: attachmentView(known), status: 200 };
        await this.assertRoom(tx, jobReportId, received);
        const attachment = Object.assign(new Attachment(), {
          ...{
            fleetId,
            id,
            jobReportId,
            tokenId,
            receivedAt: this.clock.now(),
            voidedAt: null,
            voidReason: null,
            bytesRemovedAt: null,
          },
          ...received,
        });
        isStored = await insertAttachment(tx, attachment);
        return { body: attachmentView(attachment), status: 201 };
      });
    } catch (error) {
      isStored = false;
      throw error;
    } finally {
      if (!isKnown && !isStored) await this.files.forget([id]);
    }
  }

  async list(jobReportId: string): Promise<AttachmentView[]> {
    const { manager } = this.dataSource;
    await rowOf(manager, JobReport, jobReportId, 'job report');
    return (await attachmentsOf(manager, [jobReportId])).get(jobReportId) ?? [];
  }

  /**
   * Returns an attachment whose file may be shown.
   *
   * @throws Problem 404 when there is none, 410 when it was voided
   */
  async get(jobReportId: string, id: string): Promise<Attachment> {
    const { fleetId } = fleetScope();
    const attachment = await this.dataSource.manager.findOneBy(Attachment, { fleetId, id, jobReportId });
    if (!attachment) throw notFound('attachment');
    const { voidedAt, voidReason } = attachment;
    if (voidedAt)
      throw new Problem(
        410,
        'attachment-voided',
        message('attachment-was-voided', {
          on: voidedAt.toISOString().slice(0, 10),
          reason: voidReasonTold(voidReason),
        }),
      );
    return attachment;
  }

  /** Voids an attachment and removes its file. The row stays, with the reason. */
  async void(jobReportId: string, id: string, reason: string): Promise<AttachmentView> {
    const view = await this.markVoided(jobReportId, id, reason);
    // After the commit: if the transaction failed, a file removed for it could not be brought back.
    await this.files.removeVoided([id]);
    return view;
  }

  private markVoided(jobReportId: string, id: string, reason: string): Promise<AttachmentView> {
    return this.transactions.write(async (tx) => {
      const attachment = await lockedRowOf(tx, Attachment, id, 'attachment');
      if (attachment.jobReportId !== jobReportId) throw notFound('attachment');
      if (attachment.voidedAt && attachment.voidReason !== reason)
        throw conflict(
          'already-voided',
          message('attachment-voided-already', { reason: voidReasonTold(attachment.voidReason) }),
        );
      if (!attachment.voidedAt) {
        Object.assign(attachment, { voidedAt: this.clock.now(), voidReason: reason });
        const { fleetId, voidedAt, voidReason } = attachment;
        await tx.update(Attachment, { fleetId, id }, { voidedAt, voidReason });
      }
      return attachmentView(attachment);
    });
  }

  private ofContent(
    manager: EntityManager,
    jobReportId: string,
    { receivedSha256 }: ReceivedAttachment,
  ): Promise<Attachment | null> {
    return manager.findOneBy(Attachment, { fleetId: fleetScope().fleetId, jobReportId, receivedSha256 });
  }

  private async assertRoom(
    manager: EntityManager,
    jobReportId: string,
    { sizeBytes }: ReceivedAttachment,
  ): Promise<void> {
    const { fleetId } = fleetScope();
    const count = await manager.countBy(Attachment, { fleetId, jobReportId });
    if (count >= MAX_ATTACHMENTS) throw tooMany();
    await assertFleetHasRoom(manager, fleetId, sizeBytes, this.config.fleetLimits.attachmentBytes);
  }
}

function tooMany(): Problem {
  const detail = message('attachment-one-too-many', { most: MAX_ATTACHMENTS });
  return conflict('too-many-attachments', detail, [{ pointer: '', detail }]);
}
