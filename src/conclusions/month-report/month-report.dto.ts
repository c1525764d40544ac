import { ApiProperty } from '@nestjs/swagger';
import { CivilDate } from '../../platform/fields/fields.js';
import { MessageView } from '../../platform/words/message.dto.js';

export class MonthReportQuery {
  @CivilDate({ optional: true, description: "Any day of the month; the fleet's today unless given" })
  of?: string;
}

const count = { type: 'integer', minimum: 0 } as const;
const share = {
  type: 'number',
  nullable: true,
  description: 'Of those done; null if there are none',
} as const;

export class DoneFigures {
  @ApiProperty(count) done!: number;
  @ApiProperty(count) early!: number;
  @ApiProperty(count) inWindow!: number;
  @ApiProperty(count) inGrace!: number;
  @ApiProperty(count) late!: number;
  @ApiProperty(share) shareInWindow!: number | null;
  @ApiProperty(share) shareInGrace!: number | null;
  @ApiProperty({ type: 'number', nullable: true }) medianDaysAfterDue!: number | null;
}

class FiguresOfGroup extends DoneFigures {
  @ApiProperty({ type: 'string', nullable: true, description: 'Id of the depot, component or duty' })
  key!: string | null;
  @ApiProperty({ type: 'string', nullable: true, description: 'Of a depot' }) name!: string | null;
}

class FiguresOfMonth extends DoneFigures {
  @ApiProperty({ example: '2026-03' }) month!: string;
}

class MonthDefinitions {
  @ApiProperty({ type: () => MessageView }) done!: MessageView;
  @ApiProperty({ type: () => MessageView }) inWindow!: MessageView;
  @ApiProperty({ type: () => MessageView }) inGrace!: MessageView;
  @ApiProperty({ type: () => MessageView }) late!: MessageView;
  @ApiProperty({ type: () => MessageView }) medianDaysAfterDue!: MessageView;
  @ApiProperty({ type: () => MessageView }) groups!: MessageView;
}

export class MonthReportView {
  @ApiProperty({ example: '2026-03' }) month!: string;
  @ApiProperty({ type: () => DoneFigures }) total!: DoneFigures;
  @ApiProperty({ type: () => [FiguresOfGroup] }) depots!: FiguresOfGroup[];
  @ApiProperty({ type: () => [FiguresOfGroup] }) components!: FiguresOfGroup[];
  @ApiProperty({ type: () => [FiguresOfGroup] }) duties!: FiguresOfGroup[];
  @ApiProperty({ type: () => [FiguresOfMonth], description: 'The last 12 months, this one last' })
  trend!: FiguresOfMonth[];
  @ApiProperty({ type: () => MonthDefinitions, description: 'How each figure is counted' })
  definitions!: MonthDefinitions;
}
