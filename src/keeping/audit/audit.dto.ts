import { ApiProperty } from '@nestjs/swagger';
import { ROLES, type Role } from '../../platform/scope/roles.js';
import { Choice, Identifier, Instant, Text } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';
import { ACTOR_KINDS, type ActorKind } from '../../platform/scope/actor-kinds.js';
import { AUDITED, AUDITED_ACTIONS } from './audited.js';

export class AuditQuery extends PageQueryDto {
  @Choice(AUDITED, { optional: true, description: 'What was changed' }) kind?: string;
  @Identifier({ optional: true, description: 'Of what was changed' }) id?: string;
  @Choice(AUDITED_ACTIONS, { optional: true }) action?: string;
  @Text({ optional: true, max: 255, description: "A token's or a person's id, or the subject of a sign-in" })
  actor?: string;
  @Instant({ optional: true, description: 'From then on' }) from?: string;
  @Instant({ optional: true, description: 'Until then, exclusive' }) to?: string;
}

export class AuditPerson {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
}

export class AuditActor {
  @ApiProperty({ enum: ACTOR_KINDS }) kind!: ActorKind;
  @ApiProperty({
    description: 'The id of the token or the person, the subject of the sign-in, or the command',
  })
  id!: string;
  @ApiProperty({ type: 'string', nullable: true, description: 'What the token or the person is called' })
  name!: string | null;
  @ApiProperty({ enum: ROLES, nullable: true, type: 'string' }) role!: Role | null;
}

export class AuditActorWithPerson extends AuditActor {
  @ApiProperty({
    type: () => AuditPerson,
    nullable: true,
    description: 'Who it was, if a person signed in or the token is a person’s',
  })
  person!: AuditPerson | null;
}

export class AuditEntryView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'date-time' }) at!: string;
  @ApiProperty({ type: () => AuditActorWithPerson }) actor!: AuditActorWithPerson;
  @ApiProperty({ enum: AUDITED }) kind!: string;
  @ApiProperty({ format: 'uuid', description: 'Of what was changed' }) subjectId!: string;
  @ApiProperty({
    type: 'string',
    nullable: true,
    description:
      'What it is called: its name now, or the last one if it is gone; the unit number of the vehicle that a record is about; null if it has no name',
    example: 'Quarry',
  })
  subjectName!: string | null;
  @ApiProperty({ enum: AUDITED_ACTIONS }) action!: string;
  @ApiProperty({
    type: 'object',
    additionalProperties: {
      type: 'object',
      properties: { from: {}, to: {}, hidden: { type: 'boolean' } },
    },
    description:
      'By field, in the unit that its name ends in: the old value (from) and the new one (to). A secret only shows that it changed (hidden)',
    example: { elevationM: { from: 1500, to: 1600 } },
  })
  changes!: Record<string, object>;
  @ApiProperty({ type: 'string', nullable: true, description: 'Of the request that made the change' })
  requestId!: string | null;
}

export const AuditPage = pageClass(AuditEntryView, 'AuditPage');
