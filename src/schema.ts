import { migrations } from '../migrations/all.js';
import { Attachment, AttachmentUpload } from './entities/attachment.entity.js';
import { AuditEntry } from './entities/audit-entry.entity.js';
import { Defect, DefectDecision } from './entities/defect.entity.js';
import { DueListEvent } from './entities/due-list-event.entity.js';
import { Depot } from './entities/depot.entity.js';
import { DueLineCount, DueLineCountDay } from './entities/due-line-count.entity.js';
import { Completion, DueLine } from './entities/due-line.entity.js';
import { Postponement } from './entities/postponement.entity.js';
import { Fault } from './entities/fault.entity.js';
import { Fleet, FleetChange } from './entities/fleet.entity.js';
import { Import } from './entities/import.entity.js';
import { IntervalPlan } from './entities/interval-plan.entity.js';
import { JobLine, JobReport } from './entities/job-report.entity.js';
import { LossAlert, LossAlertAction } from './entities/loss-alert.entity.js';
import { LossCohortRow } from './entities/loss-cohort.entity.js';
import type { DatabaseSchema } from './platform/database/data-source.js';
import { CoolantTemperatureDay, CoolantTemperatureSamples } from './entities/coolant-temperature.entity.js';
import { IdempotencyRecord } from './entities/idempotency-record.entity.js';
import { ReEvaluation } from './entities/re-evaluation.entity.js';
import { Reading } from './entities/reading.entity.js';
import { FleetSweep, Reminder, ReminderAttempt, ReminderTarget } from './entities/reminder.entity.js';
import { SpecSheet } from './entities/spec-sheet.entity.js';
import { Spreadsheet, SpreadsheetMapping, SpreadsheetPiece } from './entities/spreadsheet.entity.js';
import { SweepRequest } from './entities/sweep-request.entity.js';
import { AccessToken } from './entities/access-token.entity.js';
import { Person } from './entities/person.entity.js';
import { Session } from './entities/session.entity.js';
import { SignInLink } from './entities/sign-in-link.entity.js';
import { TelematicsMachine, TelematicsSource } from './entities/telematics-source.entity.js';
import { UsageReading } from './entities/usage-reading.entity.js';
import { UsageSummary } from './entities/usage-summary.entity.js';
import { Vehicle, VehicleAssignment } from './entities/vehicle.entity.js';
import { VehicleLabel } from './entities/vehicle-label.entity.js';
import { PlannedLine, PlannedVisit, VisitPlan } from './entities/visit-plan.entity.js';
import { Visit, VisitLine } from './entities/visit.entity.js';
import { WorkerSign } from './entities/worker-sign.entity.js';

/** All tables of the service, and the migrations that create them. */
export const schema: DatabaseSchema = {
  entities: [
    Fleet,
    FleetChange,
    AccessToken,
    Person,
    Session,
    SignInLink,
    AuditEntry,
    Depot,
    SpecSheet,
    IntervalPlan,
    Import,
    Spreadsheet,
    SpreadsheetPiece,
    SpreadsheetMapping,
    Vehicle,
    VehicleAssignment,
    VehicleLabel,
    JobReport,
    JobLine,
    Defect,
    DefectDecision,
    Attachment,
    AttachmentUpload,
    UsageReading,
    UsageSummary,
    Reading,
    ReEvaluation,
    Fault,
    TelematicsSource,
    TelematicsMachine,
    CoolantTemperatureSamples,
    CoolantTemperatureDay,
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
