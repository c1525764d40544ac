import { Injectable } from '@nestjs/common';
import type { OidcVerifier } from '../../platform/access/oidc.js';
import { Clock } from '../../platform/clock/clock.js';
import type { OidcClient } from '../../platform/config/access-settings.js';
import { Config } from '../../platform/config/config.js';
import { unacceptable } from '../../platform/problems/problem.js';
import { message } from './messages.js';

/** The OpenID Connect provider at which people sign in from a page, where one is set up. */
@Injectable()
export class ProviderClient {
  private verifier: Promise<OidcVerifier> | null = null;

  constructor(
    private readonly config: Config,
    private readonly clock: Clock,
  ) {}

  get client(): OidcClient | null {
    return this.config.access.oidc?.client ?? null;
  }

  /** @throws Problem 422 when none is set up */
  async inUse(): Promise<{ client: OidcClient; verifier: OidcVerifier }> {
    const { oidc } = this.config.access;
    if (!oidc?.client)
      throw unacceptable([{ pointer: '/provider', detail: message('sign-in-without-provider') }]);
    // What verifies its answers is loaded where it is needed.
    this.verifier ??= import('../../platform/access/oidc.js').then(
      ({ OidcVerifier }) => new OidcVerifier(oidc, this.clock),
    );
    return { client: oidc.client, verifier: await this.verifier };
  }
}
