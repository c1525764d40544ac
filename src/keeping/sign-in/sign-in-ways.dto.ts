import { ApiProperty } from '@nestjs/swagger';

export class ProviderView {
  @ApiProperty({ description: 'Where the browser is sent to (OpenID Connect Core, 3.1.2.1)' })
  authorizationEndpoint!: string;
  @ApiProperty() clientId!: string;
  @ApiProperty({ description: 'Where the provider sends the browser back to' }) redirectUri!: string;
  @ApiProperty({ example: 'openid profile' }) scope!: string;
}

export class SignInWaysView {
  @ApiProperty({
    type: () => ProviderView,
    nullable: true,
    description:
      'The OpenID Connect provider at which people may sign in, by a code and PKCE; null when there is none. Links and tokens can always be used',
  })
  provider!: ProviderView | null;
}
