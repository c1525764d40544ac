import { ApiProperty } from '@nestjs/swagger';
import { MessageView } from '../../platform/words/message.dto.js';
import { TARGET_KINDS, type TargetKind } from '../../entities/reminder.entity.js';
import { DELIVERY_TROUBLES, type DeliveryTroubleKind } from './delivery-trouble.js';

class TroubledTarget {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: TARGET_KINDS }) kind!: TargetKind;
  @ApiProperty() address!: string;
}

/** Why reminders may be late or not arriving. */
export class DeliveryTroubleView {
  @ApiProperty({ enum: DELIVERY_TROUBLES }) kind!: DeliveryTroubleKind;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true, description: 'Null: not known' })
  since!: string | null;
  @ApiProperty({ type: () => MessageView, description: 'What is wrong, since when, and what to do' })
  message!: MessageView;
  @ApiProperty({
    type: () => TroubledTarget,
    nullable: true,
    description: 'Null if it is not about a single target',
  })
  reminderTarget!: TroubledTarget | null;
}
