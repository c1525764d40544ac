import { Module } from '@nestjs/common';
import { ReminderSweeps } from './reminder-sweeps.js';
import { ReminderTargetsController } from './reminder-targets.controller.js';
import { ReminderTargetsService } from './reminder-targets.service.js';
import { RemindersController } from './reminders.controller.js';
import { RemindersService } from './reminders.service.js';
import { WebhooksModule } from './webhooks.module.js';

/** Reminders as the API has them; finding and sending them is `ReminderWorkModule`, in the worker. */
@Module({
  imports: [WebhooksModule],
  controllers: [ReminderTargetsController, RemindersController],
  providers: [ReminderTargetsService, RemindersService, ReminderSweeps],
  exports: [ReminderSweeps],
})
export class RemindersModule {}
