import { Module } from '@nestjs/common';
import { TelematicsMachinesController } from './machines/telematics-machines.controller.js';
import { TelematicsMachinesService } from './machines/telematics-machines.service.js';
import { ReportsController } from './push/reports.controller.js';
import { ReportsService } from './push/reports.service.js';
import { TelematicsSourcesController } from './sources/telematics-sources.controller.js';
import { TelematicsSourcesService } from './sources/telematics-sources.service.js';
import { TelematicsIntakeModule } from './telematics-intake.module.js';

@Module({
  imports: [TelematicsIntakeModule],
  controllers: [TelematicsSourcesController, TelematicsMachinesController, ReportsController],
  providers: [TelematicsSourcesService, TelematicsMachinesService, ReportsService],
})
export class TelematicsModule {}
