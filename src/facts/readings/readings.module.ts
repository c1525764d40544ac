import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { ReadingsController } from './readings.controller.js';
import { ReadingsService } from './readings.service.js';
import { RecordingService } from './recording.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [ReadingsController],
  providers: [ReadingsService, RecordingService],
  exports: [RecordingService, ReadingsService],
})
export class ReadingsModule {}
