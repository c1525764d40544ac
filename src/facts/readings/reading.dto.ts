import { ApiProperty } from '@nestjs/swagger';
import { type Evaluation, VERDICTS } from '../../domain/evaluation/evaluation.js';
import { ACTIONS, COMPONENTS } from '../../domain/intervals/types.js';
import { type ReadingKind, READING_KINDS } from '../../domain/readings/kinds.js';
import type { Quantity } from '../../domain/quantities/units.js';
import type { OpenedLine } from '../../entities/job-report.entity.js';
import { Choice, Instant, QuantityOf } from '../../platform/fields/fields.js';
import type { CircuitName } from '../../domain/vehicles/circuits.js';
import { NamedCircuit } from '../../platform/fields/named-circuit.js';
import { MessageView } from '../../platform/words/message.dto.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';

export { ReadingList } from './reading-list.js';

export class EvaluationView {
  @ApiProperty({
    enum: VERDICTS,
    nullable: true,
    type: String,
    description: 'null where there is no limit to judge by',
  })
  verdict!: Evaluation['verdict'];
  @ApiProperty({ type: () => [MessageView] }) reasons!: MessageView[];
  @ApiProperty({ type: 'object', additionalProperties: true }) computed!: Evaluation['computed'];
  @ApiProperty({ type: () => [MessageView] }) cautions!: MessageView[];
  @ApiProperty({ type: () => [MessageView], description: 'Table, formula, limit and default used' })
  basis!: MessageView[];
}

export class HeldFaultView {
  @ApiProperty({ description: 'Where it stands in the body' }) pointer!: string;
  @ApiProperty({ type: () => MessageView }) message!: MessageView;
}

export class HeldPartView {
  @ApiProperty({ description: 'Where it stood in the body' }) pointer!: string;
  @ApiProperty({ type: () => [HeldFaultView], description: 'What is wrong' }) faults!: HeldFaultView[];
  @ApiProperty({ description: 'As it was posted', type: 'object', additionalProperties: true })
  value!: unknown;
}

/** A later verdict, by limits that changed after the reading. The first verdict stays. */
export class ReEvaluationView {
  @ApiProperty({ format: 'date-time' }) judgedAt!: string;
  @ApiProperty({ enum: ['moved-to-another-depot', 'depot-low-temperature', 'vehicle-low-temperature'] })
  why!: string;
  @ApiProperty({ type: () => EvaluationView }) evaluation!: EvaluationView;
}

/** A reading as it was typed, with its evaluation. Its other fields depend on its kind. */
export class ReadingView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: READING_KINDS }) kind!: ReadingKind;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ format: 'date-time' }) takenAt!: string;
  @ApiProperty({ format: 'uuid', nullable: true, type: String }) jobReportId!: string | null;
  @ApiProperty({ type: () => EvaluationView }) evaluation!: EvaluationView;
  @ApiProperty({
    type: () => [ReEvaluationView],
    description: "Judged again if the vehicle's lowest temperature has changed since",
  })
  reEvaluations!: ReEvaluationView[];
  @ApiProperty({ description: 'The job it belonged to was voided' }) voided!: boolean;
}

/**
 * A due line as a report or reading left it. It says what must be known before the vehicle is
 * driven.
 */
export class OpenedLineView implements Omit<OpenedLine, 'causes'> {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: COMPONENTS }) component!: string;
  @ApiProperty({ enum: ACTIONS }) action!: string;
  @ApiProperty({ type: String, nullable: true, description: 'Which one: of several belts, or of fasteners' })
  item!: string | null;
  @NamedCircuit() circuit?: CircuitName;
  @ApiProperty({ description: 'Something unsafe was found: due that day' }) atOnce!: boolean;
  @ApiProperty({ type: String, format: 'date', nullable: true, description: 'null while it is laid up' })
  dueOn!: string | null;
  @ApiProperty({
    type: () => [MessageView],
    description:
      'Why it is open, the worst first: what is wrong, and what to do; empty in reports from before this was recorded',
  })
  causes!: MessageView[];
}

export class ReadingOutcomeView {
  @ApiProperty({
    type: () => [OpenedLineView],
    description:
      'Due lines that the reading opened, or gave another reason to stay open; what is due at once first',
  })
  followUps!: OpenedLineView[];
  @ApiProperty({ type: [String], description: 'Loss alerts that it is evidence of' }) alerts!: string[];
  @ApiProperty({ type: () => [HeldPartView], description: 'What was set aside' }) held!: HeldPartView[];
}

/** A reading outside a job, with its outcome. */
export class StandaloneReadingView extends ReadingView {
  @ApiProperty({ type: () => ReadingOutcomeView }) outcome!: ReadingOutcomeView;
}

export const ReadingPage = pageClass(ReadingView, 'ReadingPage');

/** The fields around a reading outside a job. */
export class ReadingEnvelope {
  @Instant() takenAt!: string;
  @QuantityOf('distance', { optional: true }) odometer?: Quantity | null;
  @QuantityOf('engine-hours', { optional: true }) engineHours?: Quantity | null;
  @QuantityOf('elevation', { optional: true, description: 'Where it was taken' }) elevation?: Quantity | null;
}

export class ReadingQuery extends PageQueryDto {
  @Choice(READING_KINDS, { optional: true }) kind?: string;
}
