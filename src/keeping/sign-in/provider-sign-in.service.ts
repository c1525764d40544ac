import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { Depot } from '../../entities/depot.entity.js';
import { scopeOfSignIn } from '../../platform/access/fleet-of-sign-in.js';
import type { SignIn } from '../../platform/access/oidc.js';
import { type ProviderCode, redeemCode } from '../../platform/access/oidc-code.js';
import { Problem } from '../../platform/problems/problem.js';
import { inFleet } from '../../platform/scope/fleet-scope.js';
import { message } from './messages.js';
import { personOfProvider } from './person-of-provider.js';
import { ProviderClient } from './provider-client.js';
import { type Holder, SessionStore, type SignedIn } from './session-store.js';

/**
 * How long such a session lasts. It is not extended, so that the provider decides anew each day who
 * may do what.
 */
const SESSION_MS = 12 * 3_600_000;

const notAssigned = (): Problem => new Problem(403, 'not-assigned', message('sign-in-no-depot-known'));

/** Opens sessions for people who signed in at the OpenID Connect provider. */
@Injectable()
export class ProviderSignInService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly sessions: SessionStore,
    private readonly provider: ProviderClient,
  ) {}

  /** @throws Problem 401, 403, 422 or 503 */
  async open(given: ProviderCode, device: string | null, requestId: string): Promise<SignedIn> {
    const signIn = await this.verified(given);
    const scope = await scopeOfSignIn(this.dataSource, signIn, requestId);
    return inFleet({ ...scope, depotIds: null }, async () => {
      const depotIds = await this.knownDepots(signIn);
      const admit = async (tx: EntityManager, now: Date): Promise<Holder> => ({
        person: await personOfProvider(tx, { ...signIn, depotIds }, now),
        tokenId: null,
      });
      return this.sessions.store(device, admit, SESSION_MS);
    });
  }

  private async verified(given: ProviderCode): Promise<SignIn & { name: string }> {
    const { client, verifier } = await this.provider.inUse();
    const { token } = await verifier.endpoints();
    let idToken: string;
    try {
      idToken = await redeemCode(token, client, given);
    } catch (error) {
      throw error instanceof Problem ? error : verifier.away(error);
    }
    return verifier.verifyIdToken(idToken, client, given.nonce);
  }

  /** Depots that do not exist give access to nothing; if none exists, nothing is left to see. */
  private async knownDepots({ fleetId, depotIds }: SignIn): Promise<string[] | null> {
    if (depotIds === null) return null;
    const known = await this.dataSource.manager
      .createQueryBuilder(Depot, 'd')
      .select('d.id', 'id')
      .where('d.fleetId = :fleetId and d.id = any(:depotIds)', { fleetId, depotIds })
      .getRawMany<{ id: string }>();
    if (known.length === 0) throw notAssigned();
    return known.map(({ id }) => id);
  }
}
