import { ApiProperty } from '@nestjs/swagger';

/** What a kind of problem means, and what to do about it. */
export class ProblemExplanation {
  @ApiProperty({ description: 'As in the problem', example: '/problems/bad-cursor' }) type!: string;
  @ApiProperty({ example: 'The request cannot be read' }) title!: string;
  @ApiProperty({ type: [Number], description: 'The statuses it comes with', example: [400] })
  statuses!: number[];
  @ApiProperty({ example: 'The cursor is not one of this list, or was made under other filters.' })
  meaning!: string;
  @ApiProperty({ description: 'What to do', example: 'Start again without a cursor.' }) remedy!: string;
}
