import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../conclusions/conclusions.module.js';
import { RemindersModule } from '../reminders/reminders.module.js';
import { DueListController } from './due-list.controller.js';
import { DueListService } from './due-list.service.js';
import { PostponingService } from './postponing.service.js';

@Module({
  imports: [ConclusionsModule, RemindersModule],
  controllers: [DueListController],
  providers: [DueListService, PostponingService],
})
export class DueListModule {}
