import { Controller, Get, Header } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { ProviderClient } from './provider-client.js';
import { SignInWaysView } from './sign-in-ways.dto.js';

const SCOPE = 'openid profile';

@ApiTags('people')
@Controller('v1/sign-in-ways')
export class SignInWaysController {
  constructor(private readonly provider: ProviderClient) {}

  @Get()
  @Header('cache-control', 'no-store')
  @ApiOperation({ summary: 'Read how a browser may sign in; for whoever is not signed in yet' })
  @ApiOkResponse({ type: SignInWaysView })
  async read(): Promise<SignInWaysView> {
    if (this.provider.client === null) return { provider: null };
    const { client, verifier } = await this.provider.inUse();
    const { authorization } = await verifier.endpoints();
    const { id, redirectUri } = client;
    return {
      provider: { authorizationEndpoint: authorization, clientId: id, redirectUri, scope: SCOPE },
    };
  }
}
