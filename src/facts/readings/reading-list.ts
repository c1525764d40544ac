import { applyDecorators } from '@nestjs/common';
import { ApiExtraModels, ApiProperty, getSchemaPath } from '@nestjs/swagger';
import { ValidateIf } from 'class-validator';
import { READING_KINDS } from '../../domain/readings/kinds.js';
import { ListOf } from '../../platform/fields/lists.js';
import { POSTED_KINDS, READING_INPUTS } from './posted-kinds.js';

const MAX_READINGS = 40;

/**
 * A list of readings of any kind. Each is validated later by its own class, so that a lenient batch
 * can set one bad reading aside.
 */
export function ReadingList(): PropertyDecorator {
  const mapping = READING_KINDS.map((kind) => [kind, getSchemaPath(POSTED_KINDS[kind].input)]);
  return applyDecorators(
    ApiExtraModels(...READING_INPUTS),
    ApiProperty({
      type: 'array',
      required: false,
      maxItems: MAX_READINGS,
      description:
        'In the order in which they were taken: a freeze point listed before a fill or a top-up says nothing about the mixture after it.',
      items: {
        oneOf: READING_INPUTS.map((type) => ({ $ref: getSchemaPath(type) })),
        discriminator: { propertyName: 'kind', mapping: Object.fromEntries(mapping) },
      },
    }),
    ValidateIf((_report, value) => value !== undefined && value !== null),
    ListOf(MAX_READINGS),
  );
}
