import { ApiProperty } from '@nestjs/swagger';
import { ACTOR_KINDS, type ActorKind } from '../../platform/scope/actor-kinds.js';
import { MessageView } from '../../platform/words/message.dto.js';

class ConfirmedBy {
  @ApiProperty({ enum: ACTOR_KINDS }) kind!: ActorKind;
  @ApiProperty({ description: "The token's id, or the subject of the sign-in" }) id!: string;
}

class Confirmation {
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ type: () => ConfirmedBy }) by!: ConfirmedBy;
}

/** Tells that a spec sheet or interval plan was taken from a ready-made set. */
export class StarterMarkView {
  @ApiProperty({ description: 'The ready-made set that it was taken from' }) set!: string;
  @ApiProperty({
    type: [String],
    description: 'JSON pointers of what is still ready-made: neither confirmed nor changed',
    example: ['/coolant/capacity', '/coolant/capRating'],
  })
  unconfirmed!: string[];
  @ApiProperty({ type: () => Confirmation, nullable: true }) confirmed!: Confirmation | null;
  @ApiProperty({
    type: () => MessageView,
    nullable: true,
    description: 'What to do about it; null once nothing is ready-made any more',
  })
  note!: MessageView | null;
}

/** Documents a `starter` field. */
export const Starter = (): PropertyDecorator =>
  ApiProperty({
    type: () => StarterMarkView,
    nullable: true,
    description: 'Whether it is from a ready-made set; null if it is not',
  });
