import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../pipeline/conclusions.module.js';
import { LossAlertsController } from './loss-alerts.controller.js';
import { LossAlertsService } from './loss-alerts.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [LossAlertsController],
  providers: [LossAlertsService],
})
export class LossAlertsModule {}
