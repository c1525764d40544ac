import { MessageView } from '../../platform/words/message.dto.js';
import { VoidedView } from '../../platform/words/void-reason.dto.js';
import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { AttachmentView } from '../attachments/attachment.dto.js';
import { type Verdict, VERDICTS } from '../../domain/evaluation/evaluation.js';
import { ACTIONS, type Action, COMPONENTS, type Component } from '../../domain/intervals/types.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import type { Quantity } from '../../domain/quantities/units.js';
import {
  Choice,
  CivilDate,
  Flag,
  Identifier,
  Identifiers,
  Instant,
  NestedList,
  QuantityOf,
  Text,
} from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import { OfCircuit } from '../readings/kinds/of-circuit.js';
import { HeldPartView, OpenedLineView, ReadingList, ReadingView } from '../readings/reading.dto.js';

export class JobLineInput {
  @Choice(COMPONENTS) component!: Component;
  @Choice(ACTIONS) action!: Action;
  @Text({ optional: true, max: 80, description: 'Which one of several, by its name on the spec sheet' })
  item?: string | null;
  @OfCircuit() circuit?: CircuitName | null;
  @Text({ optional: true, max: 80 }) partNumber?: string | null;
  @Text({ optional: true, max: 80 }) lot?: string | null;
  @Text({ optional: true, max: 500 }) finding?: string | null;
  @Flag({ optional: true, description: 'The component had failed; it was not just due' }) failed?:
    boolean | null;
}

export class JobReportInput {
  @Identifier({
    optional: true,
    description:
      'Made by the client. The same report can be sent again at any time: unlike an Idempotency-Key, the id never expires',
  })
  id?: string | null;
  @Identifier() vehicleId!: string;
  @Instant() performedAt!: string;
  @Instant({ optional: true, description: "When it was sent, by the device's clock" }) sentAt?: string | null;
  @Text({ optional: true, max: 120, description: 'Name or badge; the person who is signed in unless given' })
  performedBy?: string | null;
  @QuantityOf('distance', { optional: true }) odometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours?: Quantity | null;
  @QuantityOf('elevation', { optional: true, description: 'Where the work was done' })
  elevation?: Quantity | null;
  @Identifier({ optional: true }) workedAtDepotId?: string | null;
  @Choice(['yes', 'no', 'with-limits'], { optional: true }) releasedForService?: string | null;
  @Text({ optional: true, max: 4000 }) notes?: string | null;
  @Identifier({
    optional: true,
    description:
      'The report that this one replaces, and voids. A mechanic may replace an own report within 24 hours of its arrival, a manager any report',
  })
  supersedes?: string | null;
  @Identifiers({
    optional: true,
    description:
      'Reported defects of the vehicle that this job repaired. Certifies each of them, so performedBy is needed beside it',
  })
  repairedDefects?: string[] | null;
  @NestedList(() => JobLineInput, { optional: true, max: 60 }) lines?: JobLineInput[] | null;
  @ReadingList() readings?: unknown[] | null;
}

export class JobReportBatchInput {
  @ApiProperty({ type: () => [JobReportInput], maxItems: 200, minItems: 1 }) reports!: JobReportInput[];
}

export class OutcomeView {
  @ApiProperty({ enum: VERDICTS, description: "The worst of the readings'" })
  verdict!: string;
  @ApiProperty({ type: [String], description: 'Due lines that count from this job now' }) resets!: string[];
  @ApiProperty({
    type: () => [OpenedLineView],
    description:
      'Due lines that this job opened, or gave another reason to stay open; what is due at once first',
  })
  followUps!: OpenedLineView[];
  @ApiProperty({ type: [String], description: 'Loss alerts that this job is evidence of' }) alerts!: string[];
  @ApiProperty({ type: () => [HeldPartView], description: 'What was set aside' }) held!: HeldPartView[];
}

export const JOB_NOTICES = ['released-with-findings', 'device-clock', 'possible-duplicate'] as const;

export class JobNoticeView {
  @ApiProperty({
    enum: JOB_NOTICES,
    description:
      "The vehicle was released for service despite a failed safety reading; the device's clock is wrong; or another report describes the same work",
  })
  code!: (typeof JOB_NOTICES)[number];
  @ApiProperty({ type: () => [MessageView], description: 'The same in words, in this order' })
  messages!: MessageView[];
  @ApiProperty({
    type: 'string',
    format: 'uuid',
    isArray: true,
    required: false,
    description: 'The failed safety readings of this report',
  })
  readingIds?: string[];
  @ApiProperty({ format: 'uuid', required: false, description: 'The other report' }) jobReportId?: string;
  @ApiProperty({ type: 'integer', required: false, description: 'Negative when it is behind' })
  deviceAheadMinutes?: number;
}

/** The present status of a report's counters among the vehicle's usage readings. */
export class ReportUsageView {
  @ApiProperty({ format: 'uuid', description: 'Of the usage reading, to accept or discard it by' })
  id!: string;
  @ApiProperty({ enum: ['accepted', 'held', 'discarded', 'voided', 'duplicate'] }) status!: string;
  @ApiProperty({ type: () => MessageView, nullable: true, description: 'Why it is held' })
  detail!: MessageView | null;
  @ApiProperty({ description: 'Whether the odometer is believed' }) odometerCounts!: boolean;
  @ApiProperty({ description: 'Whether the engine hours are believed' }) engineHoursCounts!: boolean;
}

export class JobReportView {
  @ApiProperty({
    nullable: true,
    type: () => MessageView,
    description:
      'First in the answer: the vehicle was released for service despite a failed safety reading that is not settled yet, and what to do',
  })
  warning!: MessageView | null;
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) vehicleId!: string;
  @ApiProperty({ format: 'date-time' }) performedAt!: string;
  @ApiProperty({ format: 'date-time', nullable: true, type: String }) sentAt!: string | null;
  @ApiProperty({ format: 'date-time' }) receivedAt!: string;
  @ApiProperty({ nullable: true, type: String }) performedBy!: string | null;
  @QuantityOf('distance', { optional: true }) odometer!: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours!: Quantity | null;
  @ApiProperty({
    type: () => ReportUsageView,
    nullable: true,
    description: 'The status of these counters; null if there are none',
  })
  usageReading!: ReportUsageView | null;
  @QuantityOf('elevation', { optional: true }) elevation!: Quantity | null;
  @ApiProperty({ format: 'uuid', nullable: true, type: String }) workedAtDepotId!: string | null;
  @ApiProperty({
    format: 'uuid',
    nullable: true,
    type: String,
    description: "Where the work was done; if not given, the vehicle's depot when the report arrived",
  })
  depotId!: string | null;
  @ApiProperty({ nullable: true, type: String }) releasedForService!: string | null;
  @ApiProperty({ nullable: true, type: String }) notes!: string | null;
  @ApiProperty({ description: 'Work done before records began' }) isBaseline!: boolean;
  @ApiProperty({ type: () => [JobLineInput] }) lines!: JobLineInput[];
  @ApiProperty({ type: () => [ReadingView] }) readings!: ReadingView[];
  @ApiProperty({
    type: 'string',
    format: 'uuid',
    isArray: true,
    description: 'The defects that the report says were repaired',
  })
  repairedDefects!: string[];
  @ApiProperty({ type: () => OutcomeView }) outcome!: OutcomeView;
  @ApiProperty({
    type: () => [JobNoticeView],
    description: 'What to check; the report itself was not changed',
  })
  notices!: JobNoticeView[];
  @ApiProperty({ type: () => [AttachmentView] }) attachments!: AttachmentView[];
  @ApiProperty({ format: 'uuid', nullable: true, type: String, description: 'The report that it replaced' })
  supersedes!: string | null;
  @ApiProperty({ format: 'uuid', nullable: true, type: String, description: 'The report that replaced it' })
  supersededBy!: string | null;
  @ApiProperty({ type: () => VoidedView, nullable: true }) voided!: VoidedView | null;
}

export const JobReportPage = pageClass(JobReportView, 'JobReportPage');

export class JobReportQuery extends PageQueryDto {
  @Identifier({ optional: true }) vehicleId?: string;
  @Identifier({
    optional: true,
    description:
      "Where the work was done: the depot the report names, else the vehicle's depot when the report arrived",
  })
  depotId?: string;
  @Choice(VERDICTS, {
    optional: true,
    description: 'The worst verdict of its readings; a report without judged readings counts as pass',
  })
  verdict?: Verdict;
  @CivilDate({
    optional: true,
    description: "The first day, in the fleet's zone, on which the work was done",
  })
  from?: string;
  @CivilDate({ optional: true, description: "The last day, in the fleet's zone, on which the work was done" })
  to?: string;
  @Choice(['with-findings'], {
    optional: true,
    description:
      'Only reports, not voided, that released the vehicle for service despite a failed safety reading, settled since or not; `warning` shows which are not',
  })
  released?: 'with-findings';
  @Choice(['possible-duplicate'], {
    optional: true,
    description: 'Only reports that describe the same work as another one, neither of them voided',
  })
  notice?: 'possible-duplicate';
}

export class JobReportBatchItem {
  @ApiProperty() index!: number;
  @ApiProperty({
    enum: [201, 200, 409, 422, 500],
    description:
      'Status of this report; 500 is a fault of the service, which was logged: send the report again later',
  })
  status!: number;
  @ApiProperty({ type: () => JobReportView, required: false }) report?: JobReportView;
  @ApiPropertyOptional({ type: 'object', additionalProperties: true }) problem?: Record<string, unknown>;
}

export class JobReportBatchResult {
  @ApiProperty({ type: () => [JobReportBatchItem] }) results!: JobReportBatchItem[];
}
