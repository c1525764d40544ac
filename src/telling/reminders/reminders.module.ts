import { Module } from '@nestjs/common';
import { RemindersController } from './reminders.controller.js';
import { RemindersService } from './reminders.service.js';
import { SendersModule } from './senders/senders.module.js';
import { CatchUpService } from './targets/catch-up.service.js';
import { ReminderTargetsController } from './targets/reminder-targets.controller.js';
import { ReminderTargetsService } from './targets/reminder-targets.service.js';

/**
 * Reminders as the API has them; finding and sending them is `ReminderWorkModule`, in the worker.
 */
@Module({
  imports: [SendersModule],
  controllers: [ReminderTargetsController, RemindersController],
  providers: [ReminderTargetsService, RemindersService, CatchUpService],
})
export class RemindersModule {}
