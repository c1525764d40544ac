import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { IntervalPlansController } from './interval-plans.controller.js';
import { IntervalPlansService } from './interval-plans.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [IntervalPlansController],
  providers: [IntervalPlansService],
})
export class IntervalPlansModule {}
