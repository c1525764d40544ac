import { Global, Module } from '@nestjs/common';
import { Metrics } from './metrics.js';

/** What a process measures of itself: for every process, since a worker has its figures as well. */
@Global()
@Module({ providers: [Metrics], exports: [Metrics] })
export class MetricsModule {}
