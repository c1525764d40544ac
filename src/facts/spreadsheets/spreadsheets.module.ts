import { Module } from '@nestjs/common';
import { StorageModule } from '../../platform/storage/storage.module.js';
import { VehiclesModule } from '../../register/vehicles/vehicles.module.js';
import { JobReportsModule } from '../job-reports/job-reports.module.js';
import { UsageModule } from '../usage/usage.module.js';
import { SheetThreads } from './reading/sheet-threads.js';
import { RefusedRowsService } from './refused-rows.service.js';
import { SpreadsheetsController } from './spreadsheets.controller.js';
import { SpreadsheetsService } from './spreadsheets.service.js';
import { TakingService } from './taking.service.js';

@Module({
  imports: [StorageModule, VehiclesModule, UsageModule, JobReportsModule],
  controllers: [SpreadsheetsController],
  providers: [SpreadsheetsService, TakingService, RefusedRowsService, SheetThreads],
})
export class SpreadsheetsModule {}
