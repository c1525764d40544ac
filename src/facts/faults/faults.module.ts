import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { FaultIntakeModule } from './fault-intake.module.js';
import { FaultRecordsService } from './fault-records.service.js';
import { FaultsController } from './faults.controller.js';

@Module({
  imports: [ConclusionsModule, FaultIntakeModule],
  controllers: [FaultsController],
  providers: [FaultRecordsService],
})
export class FaultsModule {}
