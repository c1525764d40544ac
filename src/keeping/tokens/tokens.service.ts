import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager, IsNull } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { EventHub } from '../../telling/due-list-events/event-hub.js';
import { issueToken } from '../../platform/access/token.js';
import { Clock } from '../../platform/clock/clock.js';
import { Config } from '../../platform/config/config.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { listBy, type PageQuery } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import type { Page } from '../../platform/pages/pages.js';
import { noSuch, notFound, unacceptable } from '../../platform/problems/problem.js';
import { TelematicsSource } from '../../entities/telematics-source.entity.js';
import { AccessToken } from '../../entities/access-token.entity.js';
import { boundToDepots } from '../../register/depots/bound-to-depots.js';
import { assertManagerLeft } from './lasting-manager.js';
import { assertRoomForToken } from './token-room.js';
import { ownerOf } from './tokens-of-person.js';
import type { NewTokenView, TokenInput, TokenView } from './token.dto.js';
import { message } from './messages.js';

@Injectable()
export class TokensService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
    private readonly streams: EventHub,
    private readonly config: Config,
  ) {}

  list(query: PageQuery): Promise<Page<TokenView>> {
    return listBy(
      this.dataSource.manager,
      AccessToken,
      'name',
      query,
      {},
      (builder) => builder.andWhere('r.revokedAt is null'),
      viewOf,
    );
  }

  async issue(input: TokenInput): Promise<NewTokenView> {
    const id = uuidv7();
    const { token, hash } = issueToken();
    const shown = await this.transactions.write(async (tx) => {
      const now = this.clock.now();
      const expiresAt = input.expiresAt ? new Date(input.expiresAt) : null;
      if (expiresAt && expiresAt <= now) {
        const detail = message('token-expires-in-past', { given: String(input.expiresAt) });
        throw unacceptable([{ pointer: '/expiresAt', detail }]);
      }
      const depotIds = await boundTo(tx, input);
      const telematicsSourceId = await sourceOf(tx, input);
      const personId = await ownerOf(tx, input, depotIds);
      await assertRoomForToken(tx, fleetScope().fleetId, now, this.config.fleetLimits.tokens);
      const row = Object.assign(new AccessToken(), {
        fleetId: fleetScope().fleetId,
        id,
        name: input.name.trim(),
        role: input.role,
        hash,
        createdAt: now,
        expiresAt,
        revokedAt: null,
        ...{ depotIds, telematicsSourceId, personId },
        language: input.language ?? null,
        lastUsedAt: null,
      });
      await tx.insert(AccessToken, row);
      return viewOf(row);
    });
    // Added outside the transaction, so that the answer stored for the Idempotency-Key does not
    // contain the token: only its hash is ever stored.
    return { ...shown, token: shown.id === id ? token : null };
  }

  async revoke(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const own = { fleetId: fleetScope().fleetId, id, revokedAt: IsNull() };
      const now = this.clock.now();
      const token = await tx.findOneBy(AccessToken, own);
      if (!token) throw notFound('token');
      await assertManagerLeft(tx, token.fleetId, [token], now);
      const { affected } = await tx.update(AccessToken, own, { revokedAt: now });
      // Somebody else has revoked it meanwhile.
      if (!affected) throw notFound('token');
    });
    // The database notifies the other processes.
    this.streams.endStreamsOf(fleetScope().fleetId, id);
  }
}

/**
 * Returns the depots that a token is to be bound to; null for none.
 *
 * @throws Problem 422, also for telematics
 */
function boundTo(tx: EntityManager, input: TokenInput): Promise<string[] | null> {
  if (input.depotIds && input.role === 'telematics')
    throw unacceptable([{ pointer: '/depotIds', detail: message('token-telematics-not-bound') }]);
  return boundToDepots(tx, input);
}

/**
 * Returns the telematics source that a token is to be bound to; null for none.
 *
 * @throws Problem 422 for another role than telematics, and for an unknown source
 */
async function sourceOf(tx: EntityManager, { role, telematicsSourceId }: TokenInput): Promise<string | null> {
  if (telematicsSourceId == null) return null;
  const pointer = '/telematicsSourceId';
  if (role !== 'telematics') throw unacceptable([{ pointer, detail: message('token-source-needs-role') }]);
  const id = telematicsSourceId.toLowerCase();
  const { fleetId } = fleetScope();
  if (!(await tx.existsBy(TelematicsSource, { fleetId, id })))
    throw unacceptable([{ pointer, detail: noSuch('telematics source') }]);
  return id;
}

function viewOf(token: AccessToken): TokenView {
  return {
    id: token.id,
    name: token.name,
    role: token.role,
    createdAt: token.createdAt.toISOString(),
    expiresAt: token.expiresAt?.toISOString() ?? null,
    depotIds: token.depotIds,
    telematicsSourceId: token.telematicsSourceId,
    personId: token.personId,
    language: token.language,
    lastUsedAt: token.lastUsedAt?.toISOString() ?? null,
  };
}
