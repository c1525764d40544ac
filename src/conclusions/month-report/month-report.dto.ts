import { ApiProperty } from '@nestjs/swagger';
import { ByteOrderMark } from '../../platform/csv/csv-answer.js';
import { CivilDate } from '../../platform/fields/fields.js';
import { MessageView } from '../../platform/words/message.dto.js';

export class MonthReportQuery {
  @CivilDate({ optional: true, description: "Any day of the month; the fleet's today unless given" })
  of?: string;
}

export class MonthReportCsvQuery extends MonthReportQuery {
  @ByteOrderMark() bom?: string;
}

const count = { type: 'integer', minimum: 0 } as const;
const share = (of: string) =>
  ({ type: 'number', nullable: true, description: `Of ${of}; null if there is none` }) as const;
const days = { type: 'number', nullable: true, description: 'Null if there is none' } as const;

export class RepeatFigures {
  @ApiProperty({ ...count, description: 'Work on a part: lines of job reports' }) work!: number;
  @ApiProperty({ ...count, description: 'Of that work, what was done again too soon' }) repeats!: number;
  @ApiProperty(share('the work')) share!: number | null;
}

export class FailedReadingFigures {
  @ApiProperty(count) failed!: number;
  @ApiProperty({ ...count, description: 'By the end of the month, or by now' }) closed!: number;
  @ApiProperty({
    ...count,
    description: 'Of those closed, without a day: no reading passed, no part replaced',
  })
  closedOtherwise!: number;
  @ApiProperty({ ...count, description: 'At the end of the month, or now' }) open!: number;
  @ApiProperty(days) medianDaysOpen!: number | null;
  @ApiProperty(days) longestDaysOpen!: number | null;
}

export class MonthFigures {
  @ApiProperty(count) done!: number;
  @ApiProperty(count) early!: number;
  @ApiProperty(count) inWindow!: number;
  @ApiProperty(count) inGrace!: number;
  @ApiProperty(count) late!: number;
  @ApiProperty(share('those done')) shareInWindow!: number | null;
  @ApiProperty(share('those done')) shareInGrace!: number | null;
  @ApiProperty(days) medianDaysAfterDue!: number | null;
  @ApiProperty({ ...days, description: 'Of the late ones, after the due date; null if there are none' })
  medianDaysLate!: number | null;
  @ApiProperty({ ...days, description: 'Of the late ones, after the due date; null if there are none' })
  worstDaysLate!: number | null;
  @ApiProperty({ type: () => RepeatFigures }) repeatJobs!: RepeatFigures;
  @ApiProperty({ type: () => FailedReadingFigures }) failedReadings!: FailedReadingFigures;
}

export class FiguresOfGroup extends MonthFigures {
  @ApiProperty({ type: 'string', nullable: true, description: 'Id of the depot, component or duty' })
  key!: string | null;
  @ApiProperty({ type: 'string', nullable: true, description: 'Of a depot' }) name!: string | null;
}

export class FiguresOfMonth extends MonthFigures {
  @ApiProperty({ example: '2026-03' }) month!: string;
}

export class MonthDefinitions {
  @ApiProperty({ type: () => MessageView }) done!: MessageView;
  @ApiProperty({ type: () => MessageView }) inWindow!: MessageView;
  @ApiProperty({ type: () => MessageView }) inGrace!: MessageView;
  @ApiProperty({ type: () => MessageView }) late!: MessageView;
  @ApiProperty({ type: () => MessageView }) medianDaysAfterDue!: MessageView;
  @ApiProperty({ type: () => MessageView }) daysLate!: MessageView;
  @ApiProperty({ type: () => MessageView }) work!: MessageView;
  @ApiProperty({ type: () => MessageView }) repeatJobs!: MessageView;
  @ApiProperty({ type: () => MessageView }) failedReadings!: MessageView;
  @ApiProperty({ type: () => MessageView }) closed!: MessageView;
  @ApiProperty({ type: () => MessageView }) daysOpen!: MessageView;
  @ApiProperty({ type: () => MessageView }) groups!: MessageView;
}

export class MonthReportView {
  @ApiProperty({ example: '2026-03' }) month!: string;
  @ApiProperty({ type: 'string', format: 'date', description: 'The day that it counts up to' })
  upTo!: string;
  @ApiProperty({ type: () => MonthFigures }) total!: MonthFigures;
  @ApiProperty({ type: () => [FiguresOfGroup] }) depots!: FiguresOfGroup[];
  @ApiProperty({ type: () => [FiguresOfGroup] }) components!: FiguresOfGroup[];
  @ApiProperty({ type: () => [FiguresOfGroup] }) duties!: FiguresOfGroup[];
  @ApiProperty({ type: () => [FiguresOfMonth], description: 'The last 12 months, this one last' })
  trend!: FiguresOfMonth[];
  @ApiProperty({ type: () => MonthDefinitions, description: 'How each figure is counted' })
  definitions!: MonthDefinitions;
}
