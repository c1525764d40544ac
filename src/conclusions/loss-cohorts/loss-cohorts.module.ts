import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../pipeline/conclusions.module.js';
import { CohortRefreshService } from './cohort-refresh.service.js';

/** The conclusions that need many vehicles. Only the worker loads this module. */
@Module({
  imports: [ConclusionsModule],
  providers: [CohortRefreshService],
  exports: [CohortRefreshService],
})
export class LossCohortsModule {}
