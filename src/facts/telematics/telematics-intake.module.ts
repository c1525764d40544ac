import { Module } from '@nestjs/common';
import { FaultIntakeModule } from '../faults/fault-intake.module.js';
import { TemperatureIntakeModule } from '../temperatures/temperature-intake.module.js';
import { UsageIntakeModule } from '../usage/usage-intake.module.js';
import { TakingService } from './taking/taking.service.js';

/** What takes pages of sources, for the API and for the worker that polls. */
@Module({
  imports: [UsageIntakeModule, FaultIntakeModule, TemperatureIntakeModule],
  providers: [TakingService],
  exports: [TakingService],
})
export class TelematicsIntakeModule {}
