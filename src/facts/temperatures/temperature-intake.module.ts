import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { TemperaturesService } from './temperatures.service.js';

/** What takes coolant temperatures, for the API and for the worker that polls sources. */
@Module({ imports: [ConclusionsModule], providers: [TemperaturesService], exports: [TemperaturesService] })
export class TemperatureIntakeModule {}
