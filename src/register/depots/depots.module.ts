import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { DepotsController } from './depots.controller.js';
import { DepotsService } from './depots.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [DepotsController],
  providers: [DepotsService],
})
export class DepotsModule {}
