import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { contentHash } from '../../platform/access/content-hash.js';
import { Clock } from '../../platform/clock/clock.js';
import { Config } from '../../platform/config/config.js';
import { fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { lockedRowOf } from '../../platform/database/records.js';
import { Transactions, type Written } from '../../platform/database/transactions.js';
import { conflict, notFound, Problem } from '../../platform/problems/problem.js';
import { IncomingFiles } from '../../platform/storage/incoming-files.js';
import { type AttachmentView, attachmentView } from './attachment.dto.js';
import { Attachment } from '../../entities/attachment.entity.js';
import { assertFleetHasRoom } from './attachment-room.js';
import { AttachmentFilesService } from './attachment-files.service.js';
import { AttachmentThreads } from './attachment-threads.js';
import { assertOwner, type AttachmentOwner, lockOwner, ownerColumns } from './attachment-owner.js';
import { attachmentsOf } from './attachments-of.queries.js';
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
   * Attaches a file to a report or a defect. If that already has the file, returns the first
   * response again.
   */
  async attach(owner: AttachmentOwner, receive: Receive): Promise<Required<Written<AttachmentView>>> {
    const { manager } = this.dataSource;
    await assertOwner(manager, owner);
    return this.places.within(fleetScope().fleetId, () => this.attachNow(owner, receive));
  }

  private async attachNow(
    owner: AttachmentOwner,
    receive: Receive,
  ): Promise<Required<Written<AttachmentView>>> {
    const paths = { received: await this.incoming.newPath(), kept: await this.incoming.newPath() };
    try {
      const received = await receive((chunks) => receiveAttachment(chunks, paths, this.threads));
      // The idempotency key applies to the file, whose content is known only now.
      const scope = fleetScope();
      const idempotency = scope.idempotency && {
        ...scope.idempotency,
        requestHash: contentHash(received.receivedSha256.toString('hex')),
      };
      return await inFleet({ ...scope, idempotency }, () => this.record(owner, received, paths.kept));
    } finally {
      for (const path of Object.values(paths)) await this.incoming.discard(path);
      await this.files.sweep();
    }
  }

  private async record(
    owner: AttachmentOwner,
    received: ReceivedAttachment,
    path: string,
  ): Promise<Required<Written<AttachmentView>>> {
    const { fleetId, tokenId } = fleetScope();
    const { manager } = this.dataSource;
    const isKnown = (await this.ofContent(manager, owner, received)) !== null;
    if (!isKnown) await this.assertRoom(manager, owner, received);
    const id = uuidv7();
    if (!isKnown) await this.files.keep(id, path, received.sizeBytes);
    let isStored = false;
    try {
      return await this.transactions.writeWith(async (tx) => {
        isStored = false;
        // Uploads to the same report or defect wait for each other, so that none misses another.
        await lockOwner(tx, owner);
        const known = await this.ofContent(tx, owner, received);
        if (known) return { body: attachmentView(known), status: 200 };
        await this.assertRoom(tx, owner, received);
        const attachment = Object.assign(new Attachment(), {
          ...{
            fleetId,
            id,
            ...ownerColumns(owner),
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

  async list(owner: AttachmentOwner): Promise<AttachmentView[]> {
    const { manager } = this.dataSource;
    await assertOwner(manager, owner);
    return (await attachmentsOf(manager, [owner.id], owner.column)).get(owner.id) ?? [];
  }

  /**
   * Returns an attachment whose file may be shown.
   *
   * @throws Problem 404 when there is none, 410 when it was voided
   */
  async get(owner: AttachmentOwner, id: string): Promise<Attachment> {
    const { fleetId } = fleetScope();
    const attachment = await this.dataSource.manager.findOneBy(Attachment, {
      fleetId,
      id,
      [owner.column]: owner.id,
    });
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
  async void(owner: AttachmentOwner, id: string, reason: string): Promise<AttachmentView> {
    const view = await this.markVoided(owner, id, reason);
    // After the commit: if the transaction failed, a file removed for it could not be brought back.
    await this.files.removeVoided([id]);
    return view;
  }

  private markVoided(owner: AttachmentOwner, id: string, reason: string): Promise<AttachmentView> {
    return this.transactions.write(async (tx) => {
      const attachment = await lockedRowOf(tx, Attachment, id, 'attachment');
      if (attachment[owner.column] !== owner.id) throw notFound('attachment');
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
    owner: AttachmentOwner,
    { receivedSha256 }: ReceivedAttachment,
  ): Promise<Attachment | null> {
    return manager.findOneBy(Attachment, {
      fleetId: fleetScope().fleetId,
      [owner.column]: owner.id,
      receivedSha256,
    });
  }

  private async assertRoom(
    manager: EntityManager,
    owner: AttachmentOwner,
    { sizeBytes }: ReceivedAttachment,
  ): Promise<void> {
    const { fleetId } = fleetScope();
    const count = await manager.countBy(Attachment, { fleetId, [owner.column]: owner.id });
    if (count >= MAX_ATTACHMENTS) throw tooMany();
    await assertFleetHasRoom(manager, fleetId, sizeBytes, this.config.fleetLimits.attachmentBytes);
  }
}

function tooMany(): Problem {
  const detail = message('attachment-one-too-many', { most: MAX_ATTACHMENTS });
  return conflict('too-many-attachments', detail, [{ pointer: '', detail }]);
}
