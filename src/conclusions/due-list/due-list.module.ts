import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../pipeline/conclusions.module.js';
import { DeliveryTroublesService } from '../../telling/delivery-troubles/delivery-troubles.service.js';
import { DueListCsvController } from './due-list-csv.controller.js';
import { DueListController } from './due-list.controller.js';
import { DueListExportService } from './due-list-export.service.js';
import { DueListService } from './due-list.service.js';
import { ManyLinesController } from './many-lines.controller.js';
import { ManyLinesService } from './many-lines.service.js';
import { PostponingService } from './postponing.service.js';
import { WithdrawingService } from './withdrawing.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [DueListController, DueListCsvController, ManyLinesController],
  providers: [
    DueListService,
    DueListExportService,
    PostponingService,
    WithdrawingService,
    ManyLinesService,
    DeliveryTroublesService,
  ],
  exports: [DueListService],
})
export class DueListModule {}
