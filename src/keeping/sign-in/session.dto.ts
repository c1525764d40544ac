import { ApiProperty } from '@nestjs/swagger';
import { Identifier, Nested, Text } from '../../platform/fields/fields.js';
import { PageQueryDto } from '../../platform/pages/page-query.dto.js';
import { pageClass } from '../../platform/pages/pages.js';

export class ProviderCodeInput {
  @Text({ max: 2000, description: 'The code with which the provider sent the browser back' }) code!: string;
  @Text({ min: 43, max: 128, description: 'The PKCE verifier that the page made (RFC 7636)' })
  verifier!: string;
  @Text({ max: 200, description: 'The nonce that the page made' }) nonce!: string;
}

export class SignInInput {
  @Text({
    optional: true,
    max: 200,
    description: 'The code of a sign-in link: what follows # in its address',
  })
  code?: string | null;
  @Text({
    optional: true,
    max: 200,
    description: 'Instead of a code: an access token. The session may do what the token may',
  })
  token?: string | null;
  @Nested(() => ProviderCodeInput, {
    optional: true,
    description: 'Instead of a code: a sign-in at the OpenID Connect provider, see `/v1/sign-in-ways`',
  })
  provider?: ProviderCodeInput | null;
  @Text({
    optional: true,
    max: 80,
    description: 'What to call this device in the list of sessions; told by the browser unless given',
  })
  device?: string | null;
}

export class SessionPerson {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty() name!: string;
}

export class SessionView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({
    type: () => SessionPerson,
    nullable: true,
    description: 'Who signed in by a link; null for a session that an access token opened',
  })
  person!: SessionPerson | null;
  @ApiProperty({ type: 'string', format: 'uuid', nullable: true, description: 'The token that opened it' })
  tokenId!: string | null;
  @ApiProperty({ type: 'string', nullable: true }) device!: string | null;
  @ApiProperty({ format: 'date-time' }) createdAt!: string;
  @ApiProperty({ format: 'date-time', description: 'To the day' }) lastUsedAt!: string;
  @ApiProperty({ format: 'date-time', description: 'Each day of use moves it to 90 days from then' })
  expiresAt!: string;
  @ApiProperty({ description: 'Whether it is the session of this request' }) current!: boolean;
}

export const SessionPage = pageClass(SessionView, 'SessionPage');

export class SessionsQuery extends PageQueryDto {
  @Identifier({
    optional: true,
    description: 'Whose; for managers. The sessions of whoever asks, unless given',
  })
  personId?: string;
}
