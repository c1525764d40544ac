import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../conclusions/conclusions.module.js';
import { RemindersModule } from '../reminders/reminders.module.js';
import { UsageController } from './usage.controller.js';
import { UsageService } from './usage.service.js';

@Module({
  imports: [ConclusionsModule, RemindersModule],
  controllers: [UsageController],
  providers: [UsageService],
})
export class UsageModule {}
