import { ApiExtraModels, ApiProperty, getSchemaPath } from '@nestjs/swagger';
import { MessageView } from './message.dto.js';

/** Schema of the reason for which a record was voided. */
export const VOID_REASON = {
  oneOf: [{ type: 'string' }, { $ref: getSchemaPath(MessageView) }],
  description: 'As the person typed it; a message if the service itself voided the record',
};

@ApiExtraModels(MessageView)
export class VoidedView {
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty(VOID_REASON) reason!: string | MessageView;
}
