import { Module } from '@nestjs/common';
import { AttachmentsModule } from './facts/attachments/attachments.module.js';
import { AuditModule } from './keeping/audit/audit.module.js';
import { CalendarFeedModule } from './telling/calendar-feed/calendar-feed.module.js';
import { CalculatorsModule } from './facts/calculators/calculators.module.js';
import { DefectsModule } from './facts/defects/defects.module.js';
import { DepotsModule } from './register/depots/depots.module.js';
import { DueListEventsModule } from './telling/due-list-events/due-list-events.module.js';
import { DueListModule } from './conclusions/due-list/due-list.module.js';
import { DriverReportsModule } from './pages/driver-report/driver-reports.module.js';
import { EntranceModule } from './pages/entrance/entrance.module.js';
import { FaultsModule } from './facts/faults/faults.module.js';
import { FirstStepsModule } from './register/first-steps/first-steps.module.js';
import { FleetsModule } from './register/fleets/fleets.module.js';
import { ImportsModule } from './facts/imports/imports.module.js';
import { IntervalAdviceModule } from './planning/interval-advice/interval-advice.module.js';
import { IntervalPlansModule } from './register/interval-plans/interval-plans.module.js';
import { JobCardsModule } from './pages/job-cards/job-cards.module.js';
import { LabelsModule } from './register/labels/labels.module.js';
import { LossAlertsModule } from './conclusions/loss-alerts/loss-alerts.module.js';
import { LossTrendsModule } from './conclusions/loss-trends/loss-trends.module.js';
import { MonthReportModule } from './conclusions/month-report/month-report.module.js';
import { HealthModule } from './platform/health/health.module.js';
import { PeopleModule } from './keeping/people/people.module.js';
import { PickListModule } from './pages/pick-list/pick-list.module.js';
import { ProblemsModule } from './pages/problems/problems.module.js';
import { RemindersModule } from './telling/reminders/reminders.module.js';
import { SignInModule } from './keeping/sign-in/sign-in.module.js';
import { SpecSheetsModule } from './register/spec-sheets/spec-sheets.module.js';
import { StarterSetsModule } from './register/starter-sets/starter-sets.module.js';
import { SpreadsheetsModule } from './facts/spreadsheets/spreadsheets.module.js';
import { TelematicsModule } from './facts/telematics/telematics.module.js';
import { TemperaturesModule } from './facts/temperatures/temperatures.module.js';
import { TodayModule } from './pages/today/today.module.js';
import { TokensModule } from './keeping/tokens/tokens.module.js';
import { VehicleHistoryModule } from './facts/vehicle-history/vehicle-history.module.js';
import { VisitPlansModule } from './planning/visit-plans/visit-plans.module.js';
import { BookingModule } from './planning/booking/booking.module.js';
import { VisitsModule } from './planning/visits/visits.module.js';
import { VehiclesModule } from './register/vehicles/vehicles.module.js';
import { UsageModule } from './facts/usage/usage.module.js';
import { WorkerFiguresModule } from './telling/workers/worker-figures.module.js';
import { ReadingsModule } from './facts/readings/readings.module.js';
import { JobReportsModule } from './facts/job-reports/job-reports.module.js';

/** All modules of the API. */
@Module({
  imports: [
    HealthModule,
    WorkerFiguresModule,
    CalculatorsModule,
    FleetsModule,
    FirstStepsModule,
    TokensModule,
    PeopleModule,
    SignInModule,
    AuditModule,
    DepotsModule,
    SpecSheetsModule,
    IntervalPlansModule,
    StarterSetsModule,
    IntervalAdviceModule,
    RemindersModule,
    VehiclesModule,
    UsageModule,
    ReadingsModule,
    FaultsModule,
    TelematicsModule,
    TemperaturesModule,
    DefectsModule,
    JobReportsModule,
    ImportsModule,
    SpreadsheetsModule,
    AttachmentsModule,
    JobCardsModule,
    PickListModule,
    TodayModule,
    ProblemsModule,
    EntranceModule,
    DriverReportsModule,
    LabelsModule,
    DueListModule,
    MonthReportModule,
    CalendarFeedModule,
    VisitPlansModule,
    VisitsModule,
    BookingModule,
    DueListEventsModule,
    LossAlertsModule,
    LossTrendsModule,
    VehicleHistoryModule,
  ],
})
export class ApiModule {}
