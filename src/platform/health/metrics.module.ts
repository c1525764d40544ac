import { Global, Module } from '@nestjs/common';
import { DatabaseMetrics } from '../database/database-metrics.js';
import { HealthService } from './health.service.js';
import { Metrics } from '../observability/metrics.js';
import { OperatorListener } from './operator-listener.js';
import { QueueMetrics } from '../queue/queue-metrics.js';

/** Metrics and health of a process. Every process has this module, workers too. */
@Global()
@Module({
  providers: [Metrics, HealthService, OperatorListener, QueueMetrics, DatabaseMetrics],
  exports: [Metrics, HealthService, QueueMetrics],
})
export class MetricsModule {}
