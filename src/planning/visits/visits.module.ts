import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { AssigningService } from './assigning.service.js';
import { VisitsController } from './visits.controller.js';
import { VisitsService } from './visits.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [VisitsController],
  providers: [VisitsService, AssigningService],
})
export class VisitsModule {}
