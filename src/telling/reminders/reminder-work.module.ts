import { Module } from '@nestjs/common';
import { OutboxModule } from '../../conclusions/outbox/outbox.module.js';
import { WorkerSigns } from '../workers/worker-signs.service.js';
import { BacklogFigures } from './across-fleets/backlog-figures.js';
import { CrossFleetDatabase } from './across-fleets/cross-fleet-database.js';
import { TroubleFigures } from './across-fleets/trouble-figures.js';
import { TroubleWatch } from './across-fleets/trouble-watch.service.js';
import { DeliveryMetrics } from './delivery/delivery-metrics.js';
import { DeliverySteps } from './delivery/delivery-steps.js';
import { DeliveryService } from './delivery/delivery.service.js';
import { SettlingService } from './delivery/settling.service.js';
import { DigestsService } from './digests/digests.service.js';
import { SendersModule } from './senders/senders.module.js';
import { DoneToday } from './sweep/done-today.service.js';
import { FleetSchedule } from './sweep/fleet-schedule.js';
import { SweepService } from './sweep/sweep.service.js';

/** Finds and sends reminders. Only the worker has this module. */
@Module({
  imports: [SendersModule, OutboxModule],
  providers: [
    SweepService,
    DeliveryService,
    DeliverySteps,
    DigestsService,
    SettlingService,
    DeliveryMetrics,
    CrossFleetDatabase,
    BacklogFigures,
    FleetSchedule,
    WorkerSigns,
    DoneToday,
    TroubleFigures,
    TroubleWatch,
  ],
  exports: [SweepService, DeliveryService, DoneToday, TroubleWatch],
})
export class ReminderWorkModule {}
