import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { TemperatureIntakeModule } from './temperature-intake.module.js';
import { TemperatureRecordsService } from './temperature-records.service.js';
import { TemperaturesController } from './temperatures.controller.js';

@Module({
  imports: [ConclusionsModule, TemperatureIntakeModule],
  controllers: [TemperaturesController],
  providers: [TemperatureRecordsService],
})
export class TemperaturesModule {}
