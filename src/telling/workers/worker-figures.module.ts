import { Module } from '@nestjs/common';
import { WorkerFigures } from './worker-figures.js';

/** Metrics about workers. Every process has this module. */
@Module({ providers: [WorkerFigures] })
export class WorkerFiguresModule {}
