import { Module } from '@nestjs/common';
import { HealthController } from './health.controller.js';

/** Reports whether the service is alive and ready. */
@Module({
  controllers: [HealthController],
})
export class HealthModule {}
