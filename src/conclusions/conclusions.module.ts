import { Module } from '@nestjs/common';
import { SweepRequestsModule } from '../sweep-requests/sweep-requests.module.js';
import { ConclusionsService } from './conclusions.service.js';

@Module({ imports: [SweepRequestsModule], providers: [ConclusionsService], exports: [ConclusionsService] })
export class ConclusionsModule {}
