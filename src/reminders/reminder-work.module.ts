import { Module } from '@nestjs/common';
import { DeliveryService } from './delivery.service.js';
import { SweepDatabase } from './sweep-database.js';
import { SweepSchedule } from './sweep-schedule.js';
import { SweepService } from './sweep.service.js';
import { WebhooksModule } from './webhooks.module.js';

/** Finding and sending reminders: in the worker only. */
@Module({
  imports: [WebhooksModule],
  providers: [SweepService, DeliveryService, SweepDatabase, SweepSchedule],
  exports: [SweepService, DeliveryService],
})
export class ReminderWorkModule {}
