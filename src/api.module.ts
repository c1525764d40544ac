import { Module } from '@nestjs/common';
import { AttachmentsModule } from './attachments/attachments.module.js';
import { AuditModule } from './audit/audit.module.js';
import { CalendarFeedModule } from './calendar-feed/calendar-feed.module.js';
import { CalculatorsModule } from './calculators/calculators.module.js';
import { DepotsModule } from './depots/depots.module.js';
import { DueListEventsModule } from './due-list-events/due-list-events.module.js';
import { DueListModule } from './due-list/due-list.module.js';
import { FleetsModule } from './fleets/fleets.module.js';
import { ImportsModule } from './imports/imports.module.js';
import { IntervalAdviceModule } from './interval-advice/interval-advice.module.js';
import { IntervalPlansModule } from './interval-plans/interval-plans.module.js';
import { JobCardsModule } from './job-cards/job-cards.module.js';
import { LossAlertsModule } from './loss-alerts/loss-alerts.module.js';
import { LossTrendsModule } from './loss-trends/loss-trends.module.js';
import { HealthModule } from './platform/health/health.module.js';
import { RemindersModule } from './reminders/reminders.module.js';
import { SpecSheetsModule } from './spec-sheets/spec-sheets.module.js';
import { TokensModule } from './tokens/tokens.module.js';
import { VehicleHistoryModule } from './vehicle-history/vehicle-history.module.js';
import { VisitPlansModule } from './visit-plans/visit-plans.module.js';
import { VisitsModule } from './visits/visits.module.js';
import { VehiclesModule } from './vehicles/vehicles.module.js';
import { UsageModule } from './usage/usage.module.js';
import { WorkerFiguresModule } from './workers/worker-figures.module.js';
import { ReadingsModule } from './readings/readings.module.js';
import { JobReportsModule } from './job-reports/job-reports.module.js';

/** What the API is made of. */
@Module({
  imports: [
    HealthModule,
    WorkerFiguresModule,
    CalculatorsModule,
    FleetsModule,
    TokensModule,
    AuditModule,
    DepotsModule,
    SpecSheetsModule,
    IntervalPlansModule,
    IntervalAdviceModule,
    RemindersModule,
    VehiclesModule,
    UsageModule,
    ReadingsModule,
    JobReportsModule,
    ImportsModule,
    AttachmentsModule,
    JobCardsModule,
    DueListModule,
    CalendarFeedModule,
    VisitPlansModule,
    VisitsModule,
    DueListEventsModule,
    LossAlertsModule,
    LossTrendsModule,
    VehicleHistoryModule,
  ],
})
export class ApiModule {}
