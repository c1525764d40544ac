import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { VERDICTS } from '../../domain/evaluation/evaluation.js';
import { ApiExtraModels, ApiProperty, getSchemaPath } from '@nestjs/swagger';
import { DEFECT_SOURCES, DEFECT_STATES } from '../../domain/defects/defect.js';
import { ACTIONS, COMPONENTS, DUTIES } from '../../domain/intervals/types.js';
import { LOSS_ALERT_KINDS } from '../../domain/loss/facts/types.js';
import type { Quantity } from '../../domain/quantities/units.js';
import { CIRCUITS, type CircuitName } from '../../domain/vehicles/circuits.js';
import { FAULT_LISTED_AS, type FaultListedAs } from '../../entities/fault.entity.js';
import { QuantityOf } from '../../platform/fields/fields.js';
import { VOID_REASON } from '../../platform/words/void-reason.dto.js';
import { MessageView } from '../../platform/words/message.dto.js';

const text = { type: 'string', nullable: true } as const;
const uuid = { type: 'string', format: 'uuid', nullable: true } as const;

class HistoryItem {
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ format: 'uuid', description: 'Of the record it tells of' }) id!: string;
}

class DoneLine {
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty() failed!: boolean;
  @ApiProperty(text) finding!: string | null;
}

export class JobInHistory extends HistoryItem {
  @ApiProperty({ enum: ['job-report'] }) what!: 'job-report';
  @ApiProperty(text) performedBy!: string | null;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({ type: () => [DoneLine] }) lines!: DoneLine[];
  @ApiProperty({ enum: VERDICTS, nullable: true }) verdict!: string | null;
  @ApiProperty({ description: 'Done before records began' }) baseline!: boolean;
  @ApiProperty() voided!: boolean;
  @ApiProperty({ ...VOID_REASON, nullable: true }) voidReason!: string | MessageView | null;
}

export class ReadingInHistory extends HistoryItem {
  @ApiProperty({ enum: ['reading'], description: 'A reading outside a job' }) what!: 'reading';
  @ApiProperty() kind!: string;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ enum: VERDICTS, nullable: true }) verdict!: string | null;
  @ApiProperty() voided!: boolean;
}

export class UsageInHistory extends HistoryItem {
  @ApiProperty({
    enum: ['usage-reading'],
    description: 'A held, discarded or voided reading, or the first of a new counter',
  })
  what!: 'usage-reading';
  @ApiProperty({ enum: ['accepted', 'held', 'discarded', 'voided'] }) status!: string;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty() odometerReplaced!: boolean;
  @ApiProperty() engineHoursReplaced!: boolean;
  @ApiProperty(text) reason!: string | null;
  @ApiProperty({ ...text, description: 'Why it was discarded, if somebody said so' })
  decisionReason!: string | null;
  @ApiProperty({ type: () => MessageView, nullable: true }) detail!: MessageView | null;
}

export class ReEvaluationInHistory extends HistoryItem {
  @ApiProperty({
    enum: ['re-evaluation'],
    description: 'An earlier reading judged again by newer limits; the first verdict stays',
  })
  what!: 're-evaluation';
  @ApiProperty({ format: 'uuid' }) readingId!: string;
  @ApiProperty() kind!: string;
  @ApiProperty({ enum: VERDICTS, nullable: true }) verdict!: string | null;
  @ApiProperty({ enum: ['moved-to-another-depot', 'depot-low-temperature', 'vehicle-low-temperature'] })
  why!: string;
  @ApiProperty({ type: () => [MessageView] }) reasons!: MessageView[];
}

export class PostponementInHistory extends HistoryItem {
  @ApiProperty({ enum: ['postponement'] }) what!: 'postponement';
  @ApiProperty({ format: 'uuid' }) dueLineId!: string;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty(text) item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty() reason!: string;
  @ApiProperty({ format: 'date', description: 'When it was due' }) oldDueOn!: string;
  @ApiProperty({
    format: 'date',
    description: 'When it was due after the postponement, as estimated that day',
  })
  newDueOn!: string;
  @ApiProperty({ ...text, format: 'date-time', description: 'Null while the postponement counts' })
  withdrawnAt!: string | null;
  @ApiProperty(text) withdrawnReason!: string | null;
}

export class AssignmentInHistory extends HistoryItem {
  @ApiProperty({ enum: ['assignment'] }) what!: 'assignment';
  @ApiProperty({
    type: 'string',
    format: 'date',
    nullable: true,
    description: 'Null: from the beginning; `at` is then the day in service, or when it was recorded',
  })
  effectiveOn!: string | null;
  @ApiProperty(uuid) depotId!: string | null;
  @ApiProperty(uuid) specSheetId!: string | null;
  @ApiProperty(uuid) intervalPlanId!: string | null;
  @ApiProperty({ enum: DUTIES }) duty!: string;
  @ApiProperty({ enum: ['in-use', 'laid-up', 'disposed'] }) status!: string;
}

export class AlertRaisedInHistory extends HistoryItem {
  @ApiProperty({ enum: ['loss-alert-raised'] }) what!: 'loss-alert-raised';
  @ApiProperty({ enum: LOSS_ALERT_KINDS }) kind!: string;
  @ApiProperty() returned!: boolean;
  @ApiProperty({ description: 'False once the facts behind it were voided' }) standing!: boolean;
}

export class AlertClearedInHistory extends HistoryItem {
  @ApiProperty({ enum: ['loss-alert-cleared'] }) what!: 'loss-alert-cleared';
  @ApiProperty({ enum: LOSS_ALERT_KINDS }) kind!: string;
  @ApiProperty({ enum: ['proof', 'manager'], nullable: true }) clearedBy!: string | null;
}

export class AlertActionInHistory extends HistoryItem {
  @ApiProperty({ enum: ['loss-alert-action'] }) what!: 'loss-alert-action';
  @ApiProperty({ format: 'uuid' }) alertId!: string;
  @ApiProperty({ enum: LOSS_ALERT_KINDS }) kind!: string;
  @ApiProperty({ enum: ['acknowledge', 'shelve', 'clear'] }) action!: string;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true }) until!: string | null;
  @ApiProperty(text) note!: string | null;
}

class FaultInHistory extends HistoryItem {
  @ApiProperty({ example: 'SPN 110 FMI 0' }) code!: string;
  @ApiProperty({
    type: String,
    enum: CIRCUITS,
    nullable: true,
    description: 'The circuit whose coolant it is about; null where it is about none',
  })
  circuit!: CircuitName | null;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'What it means' })
  meaning!: MessageView | null;
}

export class FaultBeganInHistory extends FaultInHistory {
  @ApiProperty({
    enum: ['fault-began'],
    description:
      'The vehicle began to report a fault of the cooling system or the belt drive; the other faults are in its list of faults',
  })
  what!: 'fault-began';
  @ApiProperty({ enum: FAULT_LISTED_AS }) state!: FaultListedAs;
  @ApiProperty({ format: 'date-time', description: 'When it was last seen active' }) lastSeenAt!: string;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true }) goneAt!: string | null;
  @ApiProperty({ type: 'integer', nullable: true }) occurrences!: number | null;
  @ApiProperty(text) voidReason!: string | null;
}

export class FaultGoneInHistory extends FaultInHistory {
  @ApiProperty({ enum: ['fault-gone'], description: 'The vehicle no longer reported the fault' })
  what!: 'fault-gone';
}

export class HotDayInHistory extends HistoryItem {
  @ApiProperty({
    enum: ['hot-day'],
    description: 'A day on which the coolant temperature was at or above the alarm; `at` is when it began',
  })
  what!: 'hot-day';
  @ApiProperty({ format: 'date' }) day!: string;
  @QuantityOf('temperature') highest!: Quantity;
  @QuantityOf('temperature') alarm!: Quantity;
  @ApiProperty({ type: Number, nullable: true, description: 'Null: the values lie too far apart to tell' })
  minutesAboveAlarm!: number | null;
  @ApiProperty() voided!: boolean;
  @ApiProperty(text) voidReason!: string | null;
}

export class DefectInHistory extends HistoryItem {
  @ApiProperty({ enum: ['defect'], description: 'What was reported as wrong' }) what!: 'defect';
  @ApiProperty({ enum: DEFECT_SOURCES }) source!: string;
  @ApiProperty({ description: 'In the words of whoever reported it' }) words!: string;
  @ApiProperty(text) reportedBy!: string | null;
  @ApiProperty({ enum: DEFECT_STATES, description: 'As it stands now' }) state!: string;
  @ApiProperty({ ...uuid, description: 'The job that repaired it' }) jobReportId!: string | null;
}

export class DefectDecisionInHistory extends HistoryItem {
  @ApiProperty({ enum: ['defect-decision'] }) what!: 'defect-decision';
  @ApiProperty({ format: 'uuid' }) defectId!: string;
  @ApiProperty({ enum: ['triage', 'dismiss'] }) kind!: string;
  @ApiProperty() decidedBy!: string;
  @ApiProperty({ enum: COMPONENTS, nullable: true, type: String }) component!: string | null;
  @ApiProperty({ enum: ACTIONS, nullable: true, type: String }) action!: string | null;
  @ApiProperty({ ...text, format: 'date' }) dueOn!: string | null;
  @ApiProperty({ type: Boolean, nullable: true }) vehicleStays!: boolean | null;
  @ApiProperty(text) reason!: string | null;
}

const ITEMS = {
  'job-report': JobInHistory,
  reading: ReadingInHistory,
  'usage-reading': UsageInHistory,
  're-evaluation': ReEvaluationInHistory,
  'hot-day': HotDayInHistory,
  postponement: PostponementInHistory,
  assignment: AssignmentInHistory,
  'loss-alert-raised': AlertRaisedInHistory,
  'loss-alert-cleared': AlertClearedInHistory,
  'loss-alert-action': AlertActionInHistory,
  'fault-began': FaultBeganInHistory,
  'fault-gone': FaultGoneInHistory,
  defect: DefectInHistory,
  'defect-decision': DefectDecisionInHistory,
};

export type HistoryEntry =
  | JobInHistory
  | ReadingInHistory
  | UsageInHistory
  | ReEvaluationInHistory
  | HotDayInHistory
  | PostponementInHistory
  | AssignmentInHistory
  | AlertRaisedInHistory
  | AlertClearedInHistory
  | AlertActionInHistory
  | FaultBeganInHistory
  | FaultGoneInHistory
  | DefectInHistory
  | DefectDecisionInHistory;

@ApiExtraModels(...Object.values(ITEMS))
export class HistoryPage {
  @ApiProperty({
    type: 'array',
    items: {
      oneOf: Object.values(ITEMS).map((item) => ({ $ref: getSchemaPath(item) })),
      discriminator: {
        propertyName: 'what',
        mapping: Object.fromEntries(Object.entries(ITEMS).map(([what, item]) => [what, getSchemaPath(item)])),
      },
    },
  })
  items!: HistoryEntry[];
  @ApiProperty({ type: 'string', nullable: true, description: 'Cursor of the next page; null on the last' })
  next!: string | null;
}
