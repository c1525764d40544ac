import { Global, Module } from '@nestjs/common';
import { DatabaseMetrics } from '../database/database-metrics.js';
import { HealthService } from './health.service.js';
import { Metrics } from '../observability/metrics.js';
import { OperatorListener } from './operator-listener.js';
import { QueueMetrics } from '../queue/queue-metrics.js';

/**
 * What a process measures of itself, and whether it is well: for every process, since a worker has
 * its figures as well.
 */
@Global()
@Module({
  providers: [Metrics, HealthService, OperatorListener, QueueMetrics, DatabaseMetrics],
  exports: [Metrics, HealthService, QueueMetrics],
})
export class MetricsModule {}
