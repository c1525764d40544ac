import { Module } from '@nestjs/common';
import { IdempotencyPruningService } from './idempotency-pruning.service.js';

/** The worker's part in responses stored for an `Idempotency-Key`. */
@Module({ providers: [IdempotencyPruningService], exports: [IdempotencyPruningService] })
export class IdempotencyRecordsWorkModule {}
