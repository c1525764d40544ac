import { Module } from '@nestjs/common';
import { WorkerFigures } from './worker-figures.js';

/** For every process. */
@Module({ providers: [WorkerFigures] })
export class WorkerFiguresModule {}
