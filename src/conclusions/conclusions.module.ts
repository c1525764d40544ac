import { Module } from '@nestjs/common';
import { OutboxModule } from '../outbox/outbox.module.js';
import { ConclusionsService } from './conclusions.service.js';

@Module({ imports: [OutboxModule], providers: [ConclusionsService], exports: [ConclusionsService] })
export class ConclusionsModule {}
