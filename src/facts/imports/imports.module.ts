import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../../conclusions/pipeline/conclusions.module.js';
import { ImportsController } from './imports.controller.js';
import { ImportsService } from './imports.service.js';
import { UndoService } from './undo.service.js';

@Module({
  imports: [ConclusionsModule],
  controllers: [ImportsController],
  providers: [ImportsService, UndoService],
})
export class ImportsModule {}
