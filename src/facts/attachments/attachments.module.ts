import { Module } from '@nestjs/common';
import { AttachmentFilesModule } from './attachment-files.module.js';
import { AttachmentThreads } from './attachment-threads.js';
import { AttachmentsController } from './attachments.controller.js';
import { AttachmentsService } from './attachments.service.js';
import { UploadPlaces } from './upload-places.js';

@Module({
  imports: [AttachmentFilesModule],
  controllers: [AttachmentsController],
  providers: [AttachmentsService, AttachmentThreads, UploadPlaces],
  exports: [AttachmentFilesModule, AttachmentsService],
})
export class AttachmentsModule {}
