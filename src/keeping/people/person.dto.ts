import { ApiProperty } from '@nestjs/swagger';
import { Choice, Identifiers, Text } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import { PERSON_ROLES, type PersonRole } from '../../platform/scope/roles.js';
import { type Language, LANGUAGES } from '../../platform/words/languages.js';

export const PERSON_STATES = ['active', 'left'] as const;
export type PersonState = (typeof PERSON_STATES)[number];

export class PersonInput {
  @Text({ max: 120 }) name!: string;
  @Text({
    optional: true,
    max: 60,
    description: 'What the badge says, or a payroll number; nobody else of the fleet may have it',
  })
  badge?: string | null;
  @Choice(PERSON_ROLES, { description: 'What the person may do when signed in' }) role!: PersonRole;
  @Identifiers({
    optional: true,
    description:
      'The depots that the person works at: vehicles of other depots are neither seen nor changed. The whole fleet unless given; a manager cannot be bound',
  })
  depotIds?: string[] | null;
  @Choice(LANGUAGES, {
    optional: true,
    description: 'The language of the answers to this person; the fleet’s unless given',
  })
  language?: Language | null;
  @Choice(PERSON_STATES, {
    optional: true,
    description: 'active unless given. Who has left cannot sign in, and all tokens of the person are revoked',
  })
  state?: PersonState | null;
}

export class PersonView extends PersonInput {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ enum: PERSON_STATES }) declare state: PersonState;
  @ApiProperty({
    type: 'string',
    nullable: true,
    description:
      'Who the person is at the OpenID Connect provider (`sub`), which decides name, role and depots at each sign-in there; null for whoever never signed in there',
  })
  subject!: string | null;
  @ApiProperty({ type: 'string', format: 'date-time', nullable: true, description: 'When the person left' })
  leftAt!: string | null;
  @ApiProperty({ format: 'date-time' }) createdAt!: string;
  @ApiProperty() version!: number;
}

export const PersonPage = pageClass(PersonView, 'PersonPage');

export class PeopleQuery extends PageQueryDto {
  @Choice(PERSON_STATES, { optional: true }) state?: PersonState;
  @Text({ optional: true, max: 60, description: 'Only the person with this badge' }) badge?: string;
}
