import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { AttachmentsModule } from '../attachments/attachments.module.js';
import { ReadingsModule } from '../readings/readings.module.js';
import { DefectAttachmentsController } from './defect-attachments.controller.js';
import { DefectBatchService } from './defect-batch.service.js';
import { DefectDecisionsService } from './defect-decisions.service.js';
import { DefectsController } from './defects.controller.js';
import { DefectsService } from './defects.service.js';
import { LabelReportsService } from './label-reports.service.js';
import { LabelTopUpsService } from './label-top-ups.service.js';

@Module({
  imports: [ConclusionsModule, AttachmentsModule, ReadingsModule],
  controllers: [DefectsController, DefectAttachmentsController],
  providers: [
    DefectsService,
    DefectDecisionsService,
    DefectBatchService,
    LabelReportsService,
    LabelTopUpsService,
  ],
  exports: [LabelReportsService],
})
export class DefectsModule {}
