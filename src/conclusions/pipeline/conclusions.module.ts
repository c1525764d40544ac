import { Module } from '@nestjs/common';
import { OutboxModule } from '../outbox/outbox.module.js';
import { ConclusionsService } from './conclusions.service.js';
import { ConclusionStore } from '../store/conclusion-store.js';

@Module({
  imports: [OutboxModule],
  providers: [ConclusionsService, ConclusionStore],
  exports: [ConclusionsService],
})
export class ConclusionsModule {}
