import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { VehicleCsvController } from './vehicle-csv.controller.js';
import { VehicleExportService } from './vehicle-export.service.js';
import { VehicleImportService } from './vehicle-import.service.js';
import { VehiclesController } from './vehicles.controller.js';
import { VehiclesService } from './vehicles.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [VehiclesController, VehicleCsvController],
  providers: [VehiclesService, VehicleImportService, VehicleExportService],
  exports: [VehicleImportService],
})
export class VehiclesModule {}
