import { Module } from '@nestjs/common';
import { IdempotencyPruningService } from './idempotency-pruning.service.js';

/** What the worker does for answers that are kept for an `Idempotency-Key`. */
@Module({ providers: [IdempotencyPruningService], exports: [IdempotencyPruningService] })
export class IdempotencyRecordsWorkModule {}
