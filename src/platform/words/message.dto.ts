import { ApiProperty } from '@nestjs/swagger';

/** A message to a person: a reason, a caution, a step or advice. */
export class MessageView {
  @ApiProperty({ description: 'Stable; docs/messages.md lists every code', example: 'hold-test-too-short' })
  code!: string;

  @ApiProperty({
    type: 'object',
    additionalProperties: true,
    description: 'The values in the text, as data; quantities in the units of the answer, not rounded',
    example: { held: 3, needed: 5 },
  })
  values!: Record<string, unknown>;

  @ApiProperty({
    description: 'In plain words, in the language of the answer',
    example: 'Held 3 of 5 minutes. Hold it for 5 minutes.',
  })
  text!: string;
}
