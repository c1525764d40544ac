import { Module } from '@nestjs/common';
import { ConfirmingService } from './confirming.service.js';
import { PlannedVisitsService } from './planned-visits.service.js';
import { VisitPlansController } from './visit-plans.controller.js';
import { VisitPlansService } from './visit-plans.service.js';

@Module({
  controllers: [VisitPlansController],
  providers: [VisitPlansService, PlannedVisitsService, ConfirmingService],
})
export class VisitPlansModule {}
