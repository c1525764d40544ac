import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../pipeline/conclusions.module.js';
import { CohortRefreshService } from './cohort-refresh.service.js';

/** What many vehicles tell together: in the worker only. */
@Module({
  imports: [ConclusionsModule],
  providers: [CohortRefreshService],
  exports: [CohortRefreshService],
})
export class LossCohortsModule {}
