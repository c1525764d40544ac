import { Module } from '@nestjs/common';
import { DueListEventsWorkModule } from './telling/due-list-events/due-list-events-work.module.js';
import { EventPruningService } from './telling/due-list-events/event-pruning.service.js';
import { IdempotencyPruningService } from './keeping/idempotency-records/idempotency-pruning.service.js';
import { IdempotencyRecordsWorkModule } from './keeping/idempotency-records/idempotency-records-work.module.js';
import { CohortRefreshService } from './conclusions/loss-cohorts/cohort-refresh.service.js';
import { LossCohortsModule } from './conclusions/loss-cohorts/loss-cohorts.module.js';
import { SpreadsheetPruningModule } from './facts/spreadsheets/spreadsheet-pruning.module.js';
import { SpreadsheetPruningService } from './facts/spreadsheets/spreadsheet-pruning.service.js';
import { SamplePruningModule } from './facts/temperatures/sample-pruning.module.js';
import { SamplePruningService } from './facts/temperatures/sample-pruning.service.js';
import { RetentionModule } from './keeping/people/retention.module.js';
import { RetentionService } from './keeping/people/retention.service.js';
import { JOB_HANDLERS, type JobHandlers, WorkRunner } from './platform/queue/work-runner.js';
import { DoneToday } from './telling/reminders/sweep/done-today.service.js';
import { DeliveryService } from './telling/reminders/delivery/delivery.service.js';
import { ReminderWorkModule } from './telling/reminders/reminder-work.module.js';
import { SweepService } from './telling/reminders/sweep/sweep.service.js';
import { TroubleWatch } from './telling/reminders/across-fleets/trouble-watch.service.js';
import { PlanTurnsService } from './planning/visit-plans/plan-turns.service.js';
import { VisitPlansWorkModule } from './planning/visit-plans/visit-plans-work.module.js';
import { PollingService } from './facts/telematics/polling/polling.service.js';
import { TelematicsWorkModule } from './facts/telematics/telematics-work.module.js';
import { WorkerFiguresModule } from './telling/workers/worker-figures.module.js';

/** The modules of the worker. The handler of every queued job is listed here and nowhere else. */
@Module({
  imports: [
    ReminderWorkModule,
    LossCohortsModule,
    DueListEventsWorkModule,
    IdempotencyRecordsWorkModule,
    VisitPlansWorkModule,
    RetentionModule,
    TelematicsWorkModule,
    SamplePruningModule,
    SpreadsheetPruningModule,
    WorkerFiguresModule,
  ],
  providers: [
    {
      provide: JOB_HANDLERS,
      inject: [
        SweepService,
        DeliveryService,
        CohortRefreshService,
        EventPruningService,
        IdempotencyPruningService,
        PlanTurnsService,
        RetentionService,
        SamplePruningService,
        SpreadsheetPruningService,
        DoneToday,
        TroubleWatch,
        PollingService,
      ],
      useFactory: (
        sweeps: SweepService,
        deliveries: DeliveryService,
        cohorts: CohortRefreshService,
        events: EventPruningService,
        idempotency: IdempotencyPruningService,
        plans: PlanTurnsService,
        retention: RetentionService,
        samples: SamplePruningService,
        spreadsheets: SpreadsheetPruningService,
        doneToday: DoneToday,
        troubles: TroubleWatch,
        polling: PollingService,
      ): JobHandlers => ({
        work: {
          'sweep-fleet': async (data) => {
            await doneToday.unlessDone(data, 'swept_on', () => sweeps.sweepFleet(String(data.fleetId)));
            await troubles.tellFleet(String(data.fleetId));
          },
          'sweep-vehicles': ({ fleetId }) => sweeps.sweepRequested(String(fleetId)),
          'refresh-cohorts': async (data) => {
            await doneToday.unlessDone(data, 'cohorts_on', () => cohorts.refreshFleet(String(data.fleetId)));
            // The refreshed cohorts may have raised alerts about many vehicles together.
            await sweeps.sweepAlerts(String(data.fleetId));
          },
          'prune-events': ({ fleetId }) => events.pruneFleet(String(fleetId)),
          'prune-idempotency-records': ({ fleetId }) => idempotency.pruneFleet(String(fleetId)),
          'apply-retention': async ({ fleetId }) => {
            await retention.applyToFleet(String(fleetId));
            await samples.pruneFleet(String(fleetId));
            await spreadsheets.pruneFleet(String(fleetId));
          },
        },
        deliveries: {
          'deliver-reminder': ({ fleetId, reminderId }) =>
            deliveries.deliver(String(fleetId), String(reminderId)),
        },
        planning: {
          'solve-visit-plan': ({ fleetId }) => plans.take(String(fleetId)),
        },
        sources: {
          'poll-source': ({ fleetId, sourceId }) => polling.poll(String(fleetId), String(sourceId)),
        },
      }),
    },
    WorkRunner,
  ],
})
export class WorkerModule {}
