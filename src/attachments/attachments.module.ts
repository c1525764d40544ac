import { Module } from '@nestjs/common';
import { StorageModule } from '../platform/storage/storage.module.js';
import { AttachmentFilesService } from './attachment-files.service.js';
import { AttachmentThreads } from './attachment-threads.js';
import { AttachmentsController } from './attachments.controller.js';
import { AttachmentsService } from './attachments.service.js';
import { UploadPlaces } from './upload-places.js';

@Module({
  imports: [StorageModule],
  controllers: [AttachmentsController],
  providers: [AttachmentsService, AttachmentFilesService, AttachmentThreads, UploadPlaces],
})
export class AttachmentsModule {}
