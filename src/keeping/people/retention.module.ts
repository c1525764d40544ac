import { Module } from '@nestjs/common';
import { AttachmentFilesModule } from '../../facts/attachments/attachment-files.module.js';
import { RetentionService } from './retention.service.js';

/** The worker's part in removing data that has reached its retention age. */
@Module({ imports: [AttachmentFilesModule], providers: [RetentionService], exports: [RetentionService] })
export class RetentionModule {}
