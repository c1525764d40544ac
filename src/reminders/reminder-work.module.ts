import { Module } from '@nestjs/common';
import { DeliveryService } from './delivery.service.js';
import { DeliverySteps } from './delivery-steps.js';
import { DoneToday } from './done-today.service.js';
import { DigestsService } from './digests.service.js';
import { ReminderMetrics } from './reminder-metrics.js';
import { SettlingService } from './settling.service.js';
import { SweepDatabase } from './sweep-database.js';
import { SweepFigures } from './sweep-figures.js';
import { SweepSchedule } from './sweep-schedule.js';
import { SweepService } from './sweep.service.js';
import { OutboxModule } from '../outbox/outbox.module.js';
import { WorkerSigns } from '../workers/worker-signs.service.js';
import { SendersModule } from './senders.module.js';
import { TroubleFigures } from './trouble-figures.js';
import { TroubleWatch } from './trouble-watch.service.js';

/** Finding and sending reminders: in the worker only. */
@Module({
  imports: [SendersModule, OutboxModule],
  providers: [
    SweepService,
    DeliveryService,
    DeliverySteps,
    DigestsService,
    SettlingService,
    ReminderMetrics,
    SweepDatabase,
    SweepFigures,
    SweepSchedule,
    WorkerSigns,
    DoneToday,
    TroubleFigures,
    TroubleWatch,
  ],
  exports: [SweepService, DeliveryService, DoneToday, TroubleWatch],
})
export class ReminderWorkModule {}
