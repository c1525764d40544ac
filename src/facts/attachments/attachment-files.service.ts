import { Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, In } from 'typeorm';
import type { Readable } from 'node:stream';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { Problem } from '../../platform/problems/problem.js';
import {
  type ByteRange,
  fileKey,
  FileMissing,
  FileStore,
  storeAway,
} from '../../platform/storage/file-store.js';
import { Attachment, AttachmentUpload } from '../../entities/attachment.entity.js';
import { markRemoved, strandedUploads, voidedWithBytes } from './attachments.queries.js';
import { message } from './messages.js';

/** An upload puts its file into the store within minutes. After this time it never will. */
const STRANDED_MS = 3_600_000;
const SWEPT_AT_A_TIME = 20;
const REMOVED_AT_A_TIME = 200;

/**
 * The files of attachments in the store.
 *
 * A file is stored before its row is written, so no row lacks its file. A note of the upload is
 * written before both; it leads to files that never got a row. The file of a voided attachment is
 * removed after its row was marked. Until the row says that the file is gone, later sweeps find it
 * again.
 *
 * Nothing else in the store is ever removed. A service set up with the wrong store, or with a
 * database from an older backup, does no harm there.
 */
@Injectable()
export class AttachmentFilesService {
  private readonly logger = new Logger('attachments');

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly store: FileStore,
    private readonly clock: Clock,
  ) {}

  /** Puts a complete local file into the store. @throws Problem 503 */
  async keep(id: string, localPath: string, sizeBytes: number): Promise<void> {
    const { fleetId } = fleetScope();
    await this.dataSource.manager.insert(AttachmentUpload, { fleetId, id, startedAt: this.clock.now() });
    try {
      await this.store.take(fileKey({ fleetId, id }), localPath, sizeBytes);
    } catch (error) {
      this.logger.error(`could not store ${id}: ${String(error)}`);
      await this.forget([id]);
      throw storeAway();
    }
  }

  /** @throws Problem 404 when the file is missing, 503 when the store does not answer */
  async open(id: string, range: ByteRange | null): Promise<Readable> {
    try {
      return await this.store.open(fileKey({ fleetId: fleetScope().fleetId, id }), range ?? undefined);
    } catch (error) {
      this.logger.error(`could not open ${id}: ${String(error)}`);
      if (!(error instanceof FileMissing)) throw storeAway();
      throw new Problem(404, 'file-missing', message('attachment-file-missing'));
    }
  }

  /**
   * Removes the given files that have no row, and the notes of their uploads. A file that cannot be
   * removed now is tried again by a later sweep.
   */
  async forget(ids: readonly string[]): Promise<void> {
    const { fleetId } = fleetScope();
    const { manager } = this.dataSource;
    try {
      // The row may exist although its transaction seemed to fail, if the connection broke during
      // the commit.
      const rows = await manager.findBy(Attachment, { fleetId, id: In([...ids]) });
      const orphans = ids.filter((id) => !rows.some((row) => row.id === id));
      for (const id of orphans) await this.store.remove(fileKey({ fleetId, id }));
      await manager.delete(AttachmentUpload, { fleetId, id: In([...ids]) });
    } catch (error) {
      this.logger.warn(`could not remove files without a row; tried again later: ${String(error)}`);
    }
  }

  /**
   * Removes the files of the given voided attachments. Never fails a request: a file that cannot be
   * removed now is tried again by a later sweep.
   *
   * @returns whether the files are gone
   */
  async removeVoided(ids: readonly string[]): Promise<boolean> {
    const { fleetId } = fleetScope();
    try {
      if (!(await this.store.reaches(fleetId)))
        throw new Error('this process does not see where the files of this fleet are kept');
      for (const id of ids) await this.store.remove(fileKey({ fleetId, id }));
      await markRemoved(this.dataSource.manager, fleetId, ids, this.clock.now());
      return true;
    } catch (error) {
      this.logger.warn(
        `could not remove the files of ${ids.length} voided attachments; tried again later: ${String(error)}`,
      );
      return false;
    }
  }

  /** Removes the files of all voided attachments of this fleet that may still have one. */
  async removeAllVoided(): Promise<void> {
    for (let isDone = false; !isDone;) {
      const { fleetId } = fleetScope();
      const ids = await voidedWithBytes(this.dataSource.manager, fleetId, REMOVED_AT_A_TIME);
      isDone = ids.length === 0 || !(await this.removeVoided(ids)) || ids.length < REMOVED_AT_A_TIME;
    }
  }

  /**
   * Removes this fleet's left-over files: those of uploads whose process died between storing the
   * file and writing the row, and those of voided attachments. Never fails a request.
   */
  async sweep(): Promise<void> {
    try {
      const before = new Date(this.clock.now().getTime() - STRANDED_MS);
      const { fleetId } = fleetScope();
      const stranded = await strandedUploads(this.dataSource.manager, fleetId, before, SWEPT_AT_A_TIME);
      if (stranded.length > 0) await this.forget(stranded);
      const voided = await voidedWithBytes(this.dataSource.manager, fleetId, SWEPT_AT_A_TIME);
      if (voided.length > 0) await this.removeVoided(voided);
    } catch (error) {
      this.logger.warn(`could not sweep: ${String(error)}`);
    }
  }
}
