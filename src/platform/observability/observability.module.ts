import { Module } from '@nestjs/common';
import { HealthController } from './health.controller.js';
import { MetricsController } from './metrics.controller.js';

/** Whether the service lives and can work, and how it does. */
@Module({
  controllers: [HealthController, MetricsController],
})
export class ObservabilityModule {}
