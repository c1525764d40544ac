import { Module } from '@nestjs/common';
import { StorageModule } from '../../platform/storage/storage.module.js';
import { AttachmentFilesService } from './attachment-files.service.js';

/** The files of attachments, for the API and the worker. */
@Module({
  imports: [StorageModule],
  providers: [AttachmentFilesService],
  exports: [AttachmentFilesService, StorageModule],
})
export class AttachmentFilesModule {}
