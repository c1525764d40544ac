import { Module } from '@nestjs/common';
import { AttachmentFilesModule } from '../../facts/attachments/attachment-files.module.js';
import { RetentionService } from './retention.service.js';

/** What the worker does to records that have been kept for long enough. */
@Module({ imports: [AttachmentFilesModule], providers: [RetentionService], exports: [RetentionService] })
export class RetentionModule {}
