import { Module } from '@nestjs/common';
import { RemindersController } from './reminders.controller.js';
import { RemindersService } from './reminders.service.js';
import { SendersModule } from './senders/senders.module.js';
import { CatchUpService } from './targets/catch-up.service.js';
import { ReminderTargetsController } from './targets/reminder-targets.controller.js';
import { ReminderTargetsService } from './targets/reminder-targets.service.js';

/** The reminder routes of the API. `ReminderWorkModule` in the worker finds and sends reminders. */
@Module({
  imports: [SendersModule],
  controllers: [ReminderTargetsController, RemindersController],
  providers: [ReminderTargetsService, RemindersService, CatchUpService],
})
export class RemindersModule {}
