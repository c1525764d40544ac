import { CreateSchema1795600000000 } from './1795600000000-create-schema.js';
import { AddConditionLimits1795690000000 } from './1795690000000-add-condition-limits.js';
import { WidenReminders1795700000001 } from './1795700000001-widen-reminders.js';
import { NumberCalendarRevisions1795710000000 } from './1795710000000-number-calendar-revisions.js';
import { RecordDueListEvents1795710100000 } from './1795710100000-record-due-list-events.js';
import { LetSweepCountDueLines1795720000001 } from './1795720000001-let-sweep-count-due-lines.js';
import { BindTokensToDepots1795730010000 } from './1795730010000-bind-tokens-to-depots.js';
import { RecordChanges1795730020000 } from './1795730020000-record-changes.js';
import { CountRequests1795730030000 } from './1795730030000-count-requests.js';
import { LinkJobReports1795740000000 } from './1795740000000-link-job-reports.js';
import { AddAttachments1795740100000 } from './1795740100000-add-attachments.js';
import { LetAppCountRows1795750000000 } from './1795750000000-let-app-count-rows.js';
import { BindAttachmentsToDepots1795760000000 } from './1795760000000-bind-attachments-to-depots.js';
import { TellChangeNumbers1795770000000 } from './1795770000000-tell-change-numbers.js';
import { RecordAttachments1795780000000 } from './1795780000000-record-attachments.js';
import { PlanVisits1795781000000 } from './1795781000000-plan-visits.js';
import { RememberUsage1795782000000 } from './1795782000000-remember-usage.js';
import { KeepDueLineCounts1795784000000 } from './1795784000000-keep-due-line-counts.js';
import { FindTokenHoldersTogether1795785000000 } from './1795785000000-find-token-holders-together.js';
import { RemoveVoidedFiles1795974700000 } from './1795974700000-remove-voided-files.js';
import { LetOwnerWorkForFleet1795974700001 } from './1795974700001-let-owner-work-for-fleet.js';
import { LetRecordsAge1795974700002 } from './1795974700002-let-records-age.js';
import { KeepImports1795974881190 } from './1795974881190-keep-imports.js';
import { HideSecretsInAudit1795975000000 } from './1795975000000-hide-secrets-in-audit.js';
import { NarrowSweepGrants1795975100000 } from './1795975100000-narrow-sweep-grants.js';
import { TellRevokedTokens1795975102301 } from './1795975102301-tell-revoked-tokens.js';
import { SumAttachmentBytes1795975102302 } from './1795975102302-sum-attachment-bytes.js';
import { RememberWhatToSweep1795990000000 } from './1795990000000-remember-what-to-sweep.js';
import { LetUrgentRemindersOut1795990100000 } from './1795990100000-let-urgent-reminders-out.js';
import { TellOfDeliveryTrouble1795990200000 } from './1795990200000-tell-of-delivery-trouble.js';
import { OpenLinesAtOnce1796000000000 } from './1796000000000-open-lines-at-once.js';
import { TellReleasedWithFindings1796000100000 } from './1796000100000-tell-released-with-findings.js';
import { NameLinesInOutcomes1796000200000 } from './1796000200000-name-lines-in-outcomes.js';
import { AddSheetTemperaturesAndAdditive1796000649790 } from './1796000649790-add-sheet-temperatures-and-additive.js';
import { KeepSerialNumbers1796001762176 } from './1796001762176-keep-serial-numbers.js';
import { SpeakLanguages1796038767127 } from './1796038767127-speak-languages.js';
import { TellUsageAsMessages1796039609762 } from './1796039609762-tell-usage-as-messages.js';
import { KeepVerdictsAsMessages1796039864097 } from './1796039864097-keep-verdicts-as-messages.js';
import { TellLossAndPlansAsMessages1796040073027 } from './1796040073027-tell-loss-and-plans-as-messages.js';
import { TellCausesAsMessages1796040984171 } from './1796040984171-tell-causes-as-messages.js';
import { TellTargetReasonsAsMessages1796044256381 } from './1796044256381-tell-target-reasons-as-messages.js';
import { KeepFaults1796052254118 } from './1796052254118-keep-faults.js';
import { TellAttemptsAsMessages1796052565889 } from './1796052565889-tell-attempts-as-messages.js';
import { TellVoidReasonsAsMessages1796054516520 } from './1796054516520-tell-void-reasons-as-messages.js';
import { TellCircuitsApart1796070000000 } from './1796070000000-tell-circuits-apart.js';
import { NameCircuitsOfAlerts1796070000001 } from './1796070000001-name-circuits-of-alerts.js';
import { LetDriversReport1796071000000 } from './1796071000000-let-drivers-report.js';
import { KeepDefects1796071100000 } from './1796071100000-keep-defects.js';
import { AttachPhotosToDefects1796071200000 } from './1796071200000-attach-photos-to-defects.js';
import { KeepTelematicsSources1796072000000 } from './1796072000000-keep-telematics-sources.js';
import { KeepCoolantTemperatures1796073000000 } from './1796073000000-keep-coolant-temperatures.js';
import { ListFaults1796074000000 } from './1796074000000-list-faults.js';
import { KeepPeople1796080000000 } from './1796080000000-keep-people.js';
import { KeepSessions1796080100000 } from './1796080100000-keep-sessions.js';
import { KeepSpreadsheets1796081000000 } from './1796081000000-keep-spreadsheets.js';
import { KeepStarterValues1796082000000 } from './1796082000000-keep-starter-values.js';
import { KeepWhenTargetsWereTested1796082100000 } from './1796082100000-keep-when-targets-were-tested.js';
import { WithdrawPostponements1796083000000 } from './1796083000000-withdraw-postponements.js';
import { LabelVehicles1796084000000 } from './1796084000000-label-vehicles.js';
import { HoldLabelledTopUps1796084000001 } from './1796084000001-hold-labelled-top-ups.js';
import { FindAlertsOfFleet1796090100000 } from './1796090100000-find-alerts-of-fleet.js';
import { FindVehicles1796090200000 } from './1796090200000-find-vehicles.js';
import { AssignVisits1796090300000 } from './1796090300000-assign-visits.js';
import { KnowPeopleByProvider1796090600000 } from './1796090600000-know-people-by-provider.js';
import { FindFailedReadingsByDay1796090750000 } from './1796090750000-find-failed-readings-by-day.js';
import { ForgetPeopleWhoLeft1796090800000 } from './1796090800000-forget-people-who-left.js';
import { KeepWhyReadingsAreDiscarded1796090810000 } from './1796090810000-keep-why-readings-are-discarded.js';
import { BookVisits1796090850000 } from './1796090850000-book-visits.js';
import { PlaceAlerts1796090860000 } from './1796090860000-place-alerts.js';
import { FindHeldTopUps1796090870000 } from './1796090870000-find-held-top-ups.js';

/** All migrations, in the order in which they are applied. */

export const migrations = [
  CreateSchema1795600000000,
  AddConditionLimits1795690000000,
  WidenReminders1795700000001,
  NumberCalendarRevisions1795710000000,
  RecordDueListEvents1795710100000,
  LetSweepCountDueLines1795720000001,
  BindTokensToDepots1795730010000,
  RecordChanges1795730020000,
  CountRequests1795730030000,
  LinkJobReports1795740000000,
  AddAttachments1795740100000,
  LetAppCountRows1795750000000,
  BindAttachmentsToDepots1795760000000,
  TellChangeNumbers1795770000000,
  RecordAttachments1795780000000,
  PlanVisits1795781000000,
  RememberUsage1795782000000,
  KeepDueLineCounts1795784000000,
  FindTokenHoldersTogether1795785000000,
  RemoveVoidedFiles1795974700000,
  LetOwnerWorkForFleet1795974700001,
  LetRecordsAge1795974700002,
  KeepImports1795974881190,
  HideSecretsInAudit1795975000000,
  NarrowSweepGrants1795975100000,
  TellRevokedTokens1795975102301,
  SumAttachmentBytes1795975102302,
  RememberWhatToSweep1795990000000,
  LetUrgentRemindersOut1795990100000,
  TellOfDeliveryTrouble1795990200000,
  OpenLinesAtOnce1796000000000,
  TellReleasedWithFindings1796000100000,
  NameLinesInOutcomes1796000200000,
  AddSheetTemperaturesAndAdditive1796000649790,
  KeepSerialNumbers1796001762176,
  SpeakLanguages1796038767127,
  TellUsageAsMessages1796039609762,
  KeepVerdictsAsMessages1796039864097,
  TellLossAndPlansAsMessages1796040073027,
  TellCausesAsMessages1796040984171,
  TellTargetReasonsAsMessages1796044256381,
  KeepFaults1796052254118,
  TellAttemptsAsMessages1796052565889,
  TellVoidReasonsAsMessages1796054516520,
  TellCircuitsApart1796070000000,
  NameCircuitsOfAlerts1796070000001,
  LetDriversReport1796071000000,
  KeepDefects1796071100000,
  AttachPhotosToDefects1796071200000,
  KeepTelematicsSources1796072000000,
  KeepCoolantTemperatures1796073000000,
  ListFaults1796074000000,
  KeepPeople1796080000000,
  KeepSessions1796080100000,
  KeepSpreadsheets1796081000000,
  KeepStarterValues1796082000000,
  KeepWhenTargetsWereTested1796082100000,
  WithdrawPostponements1796083000000,
  LabelVehicles1796084000000,
  HoldLabelledTopUps1796084000001,
  FindAlertsOfFleet1796090100000,
  FindVehicles1796090200000,
  AssignVisits1796090300000,
  KnowPeopleByProvider1796090600000,
  FindFailedReadingsByDay1796090750000,
  ForgetPeopleWhoLeft1796090800000,
  KeepWhyReadingsAreDiscarded1796090810000,
  BookVisits1796090850000,
  PlaceAlerts1796090860000,
  FindHeldTopUps1796090870000,
];
