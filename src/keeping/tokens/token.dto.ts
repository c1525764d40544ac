import { ApiProperty } from '@nestjs/swagger';
import { ROLES, type Role } from '../../platform/scope/roles.js';
import { Choice, Identifier, Identifiers, Instant, Text } from '../../platform/fields/fields.js';
import { type Language, LANGUAGES } from '../../platform/words/languages.js';
import { pageClass } from '../../platform/pages/pages.js';

export class TokenInput {
  @Text({ max: 120, description: 'Who or what will use it' }) name!: string;
  @Choice(ROLES, {
    description:
      'What it may do; a driver token only reports defects and sees what became of them, a calendar token only reads the calendar feed, and a telematics token only posts what machines report',
  })
  role!: Role;
  @Instant({ optional: true, description: 'When it expires; never unless given' })
  expiresAt?: string | null;
  @Identifiers({
    optional: true,
    description:
      "Binds it to these depots: it neither sees nor changes vehicles of other depots. The whole fleet unless given; a manager's and a telematics token cannot be bound",
  })
  depotIds?: string[] | null;
  @Identifier({
    optional: true,
    description: 'Binds a telematics token to this telematics source; all of the fleet unless given',
  })
  telematicsSourceId?: string | null;
  @Identifier({
    optional: true,
    description:
      'Whose token it is. It can do and see no more than the person, and is revoked when the person leaves or gets another role or other depots; nobody’s in particular unless given',
  })
  personId?: string | null;
  @Choice(LANGUAGES, {
    optional: true,
    description: 'The language of its answers; its person’s unless given, else the fleet’s',
  })
  language?: Language | null;
}

export class TokenView extends TokenInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date-time' }) createdAt!: string;
  @ApiProperty({
    type: 'string',
    format: 'date-time',
    nullable: true,
    description: 'When it was last used, to the minute',
  })
  lastUsedAt!: string | null;
}

export class NewTokenView extends TokenView {
  @ApiProperty({
    type: 'string',
    nullable: true,
    description:
      'The token itself, shown only in this answer: keep it. Null if the same Idempotency-Key is sent again; if the first answer was lost, revoke this token and make another',
  })
  token!: string | null;
}

export const TokenPage = pageClass(TokenView, 'TokenPage');
