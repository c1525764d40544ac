import { Module } from '@nestjs/common';
import { CatchUpService } from './catch-up.service.js';
import { ReminderTargetsController } from './reminder-targets.controller.js';
import { ReminderTargetsService } from './reminder-targets.service.js';
import { RemindersController } from './reminders.controller.js';
import { RemindersService } from './reminders.service.js';
import { SendersModule } from './senders.module.js';

/** Reminders as the API has them; finding and sending them is `ReminderWorkModule`, in the worker. */
@Module({
  imports: [SendersModule],
  controllers: [ReminderTargetsController, RemindersController],
  providers: [ReminderTargetsService, RemindersService, CatchUpService],
})
export class RemindersModule {}
