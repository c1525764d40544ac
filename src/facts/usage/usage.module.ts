import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { UsageController } from './usage.controller.js';
import { UsageImportController } from './usage-import.controller.js';
import { UsageImportService } from './usage-import.service.js';
import { UsageIntakeModule } from './usage-intake.module.js';
import { UsageRecordingService } from './usage-recording.service.js';
import { UsageService } from './usage.service.js';

@Module({
  imports: [ConclusionsModule, UsageIntakeModule],
  controllers: [UsageController, UsageImportController],
  providers: [UsageService, UsageRecordingService, UsageImportService],
  exports: [UsageImportService],
})
export class UsageModule {}
