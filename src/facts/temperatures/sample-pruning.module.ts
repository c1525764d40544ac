import { Module } from '@nestjs/common';
import { SamplePruningService } from './sample-pruning.service.js';

/** The worker's part in coolant temperatures. */
@Module({ providers: [SamplePruningService], exports: [SamplePruningService] })
export class SamplePruningModule {}
