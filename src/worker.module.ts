import { Module } from '@nestjs/common';
import { CohortRefreshService } from './loss-cohorts/cohort-refresh.service.js';
import { LossCohortsModule } from './loss-cohorts/loss-cohorts.module.js';
import { JOB_HANDLERS, type JobHandlers, WorkRunner } from './platform/queue/work-runner.js';
import { DeliveryService } from './reminders/delivery.service.js';
import { ReminderWorkModule } from './reminders/reminder-work.module.js';
import { SweepService } from './reminders/sweep.service.js';

/** What the worker is made of; every queued job's handler is listed here and nowhere else. */
@Module({
  imports: [ReminderWorkModule, LossCohortsModule],
  providers: [
    {
      provide: JOB_HANDLERS,
      inject: [SweepService, DeliveryService, CohortRefreshService],
      useFactory: (
        sweeps: SweepService,
        deliveries: DeliveryService,
        cohorts: CohortRefreshService,
      ): JobHandlers => ({
        work: {
          'sweep-fleet': ({ fleetId }) => sweeps.sweepFleet(String(fleetId)),
          'sweep-vehicles': ({ fleetId, vehicleIds }) =>
            sweeps.sweepVehicles(String(fleetId), vehicleIds as string[]),
          'refresh-cohorts': async ({ fleetId }) => {
            await cohorts.refreshFleet(String(fleetId));
            // What many vehicles told together may have raised alerts.
            await sweeps.sweepAlerts(String(fleetId));
          },
        },
        deliveries: {
          'deliver-reminder': ({ fleetId, reminderId }) =>
            deliveries.deliver(String(fleetId), String(reminderId)),
        },
      }),
    },
    WorkRunner,
  ],
})
export class WorkerModule {}
