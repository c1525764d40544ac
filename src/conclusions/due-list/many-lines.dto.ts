import { ApiProperty, ApiPropertyOptional } from '@nestjs/swagger';
import { MAX_BATCH } from '../../platform/http/batch.js';
import { Identifiers, Text } from '../../platform/fields/fields.js';
import type { DueLineView } from './due-line-view.js';
import { DueLineItem, PostponeInput } from './due-list.dto.js';

export class WithdrawInput {
  @Text({ max: 2000, description: 'Why, for whoever asks later' }) reason!: string;
}

export class PostponeManyInput extends PostponeInput {
  @Identifiers({ min: 1, maxItems: MAX_BATCH, description: 'The due lines' }) ids!: string[];
}

export class WithdrawManyInput extends WithdrawInput {
  @Identifiers({ min: 1, maxItems: MAX_BATCH, description: 'The due lines' }) ids!: string[];
}

class LineResult {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ type: 'integer', description: 'As if the line had been sent alone' }) status!: number;
  @ApiProperty({ type: () => DueLineItem, required: false, description: 'The line as it is now' })
  line?: DueLineView;
  @ApiPropertyOptional({
    type: 'object',
    additionalProperties: true,
    description: 'Why this line was left as it was (RFC 9457)',
  })
  problem?: Record<string, unknown>;
}

export class ManyLinesResult {
  @ApiProperty({ type: () => [LineResult], description: 'In the order of the ids' }) results!: LineResult[];
  @ApiProperty({ type: 'integer', minimum: 0 }) done!: number;
  @ApiProperty({ type: 'integer', minimum: 0 }) refused!: number;
}
