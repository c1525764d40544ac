import { migrations } from '../migrations/all.js';
import { Attachment, AttachmentUpload } from './attachments/attachment.entity.js';
import { AuditEntry } from './audit/audit-entry.entity.js';
import { DueListEvent } from './due-list-events/due-list-event.entity.js';
import { Depot } from './depots/depot.entity.js';
import { DueLineCount, DueLineCountDay } from './due-list/due-line-count.entity.js';
import { Completion, DueLine } from './due-list/due-line.entity.js';
import { Postponement } from './due-list/postponement.entity.js';
import { Fleet, FleetChange } from './fleets/fleet.entity.js';
import { Import } from './imports/import.entity.js';
import { IntervalPlan } from './interval-plans/interval-plan.entity.js';
import { JobLine, JobReport } from './job-reports/job-report.entity.js';
import { LossAlert, LossAlertAction } from './loss-alerts/loss-alert.entity.js';
import { LossCohortRow } from './loss-cohorts/loss-cohort.entity.js';
import type { DatabaseSchema } from './platform/database/data-source.js';
import { IdempotencyRecord } from './platform/database/idempotency-record.entity.js';
import { ReEvaluation } from './readings/re-evaluation.entity.js';
import { Reading } from './readings/reading.entity.js';
import { FleetSweep, Reminder, ReminderAttempt, ReminderTarget } from './reminders/reminder.entity.js';
import { SpecSheet } from './spec-sheets/spec-sheet.entity.js';
import { SweepRequest } from './outbox/sweep-request.entity.js';
import { AccessToken } from './tokens/access-token.entity.js';
import { UsageReading } from './usage/usage-reading.entity.js';
import { UsageSummary } from './usage/usage-summary.entity.js';
import { Vehicle, VehicleAssignment } from './vehicles/vehicle.entity.js';
import { PlannedLine, PlannedVisit, VisitPlan } from './visit-plans/visit-plan.entity.js';
import { Visit, VisitLine } from './visits/visit.entity.js';
import { WorkerSign } from './workers/worker-sign.entity.js';

/** Every table the service has, and the migrations that make them. */
export const schema: DatabaseSchema = {
  entities: [
    Fleet,
    FleetChange,
    AccessToken,
    AuditEntry,
    Depot,
    SpecSheet,
    IntervalPlan,
    Import,
    Vehicle,
    VehicleAssignment,
    JobReport,
    JobLine,
    Attachment,
    AttachmentUpload,
    UsageReading,
    UsageSummary,
    Reading,
    ReEvaluation,
    DueLine,
    DueLineCountDay,
    DueLineCount,
    Completion,
    Postponement,
    VisitPlan,
    PlannedVisit,
    PlannedLine,
    Visit,
    VisitLine,
    DueListEvent,
    LossAlert,
    LossAlertAction,
    LossCohortRow,
    ReminderTarget,
    Reminder,
    ReminderAttempt,
    FleetSweep,
    SweepRequest,
    WorkerSign,
    IdempotencyRecord,
  ],
  migrations,
};
