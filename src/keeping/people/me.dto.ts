import { ApiProperty } from '@nestjs/swagger';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { ROLES, type Role } from '../../platform/scope/roles.js';
import { type Language, LANGUAGES } from '../../platform/words/languages.js';

export class Named {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
}

export class OwnPerson extends Named {
  @ApiProperty({ type: 'string', nullable: true }) badge!: string | null;
  @ApiProperty({
    enum: LANGUAGES,
    type: 'string',
    nullable: true,
    description: 'The person’s own language, if one is set. A page asks for it by Accept-Language',
  })
  language!: Language | null;
}

export class MeView {
  @ApiProperty({
    type: () => OwnPerson,
    nullable: true,
    description: 'Null for a token of nobody in particular, and for a sign-in at the provider',
  })
  person!: OwnPerson | null;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true, description: 'Null for a token' })
  sessionId!: string | null;
  @ApiProperty({ enum: ROLES }) role!: Role;
  @ApiProperty({
    type: () => [Named],
    nullable: true,
    description: 'The depots whose vehicles are seen, by name; null for the whole fleet',
  })
  depots!: Named[] | null;
  @ApiProperty({ type: () => Named }) fleet!: Named;
  @ApiProperty({ enum: ['us', 'si'], description: 'The units of answers that do not ask for others' })
  units!: UnitSystem;
  @ApiProperty({ description: 'Decides which day it is' }) timeZone!: string;
  @ApiProperty({ enum: LANGUAGES, description: 'The language of this answer' }) language!: Language;
}
