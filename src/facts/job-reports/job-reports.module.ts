import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { ReadingsModule } from '../readings/readings.module.js';
import { BaselineImportController } from './baseline-import.controller.js';
import { BaselineImportService } from './baseline-import.service.js';
import { JobReportBatchService } from './job-report-batch.service.js';
import { JobReportsController } from './job-reports.controller.js';
import { JobReportsService } from './job-reports.service.js';
import { VoidingService } from './voiding.service.js';

@Module({
  imports: [ConclusionsModule, ReadingsModule],
  controllers: [JobReportsController, BaselineImportController],
  providers: [JobReportsService, JobReportBatchService, VoidingService, BaselineImportService],
  exports: [BaselineImportService],
})
export class JobReportsModule {}
