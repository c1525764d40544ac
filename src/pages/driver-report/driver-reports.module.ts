import { Module } from '@nestjs/common';
import { DefectsModule } from '../../facts/defects/defects.module.js';
import { LabelLimits } from '../../platform/limits/label-limits.js';
import { DriverReportsController } from './driver-reports.controller.js';
import { DriverReportsService } from './driver-reports.service.js';

@Module({
  imports: [DefectsModule],
  controllers: [DriverReportsController],
  providers: [DriverReportsService, LabelLimits],
})
export class DriverReportsModule {}
