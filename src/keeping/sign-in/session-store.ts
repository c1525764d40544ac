import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import type { Person } from '../../entities/person.entity.js';
import { Session } from '../../entities/session.entity.js';
import { newSignInSecret } from '../../platform/access/secrets-of-sign-in.js';
import { Clock } from '../../platform/clock/clock.js';
import { Transactions } from '../../platform/database/transactions.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { SessionView } from './session.dto.js';
import { SESSION_MS, sessionView } from './session-view.js';
import { removeOldSessions } from './sign-in.queries.js';

export interface SignedIn {
  /** For the cookie. It is never stored. */
  secret: string;
  session: SessionView;
}

/** Whose session it will be: a person's, or that of a token. */
export interface Holder {
  person: Person | null;
  tokenId: string | null;
}

@Injectable()
export class SessionStore {
  constructor(
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  /** Stores a session under a secret of its own, never under one that the browser brought along. */
  async store(
    device: string | null,
    admit: (tx: EntityManager, now: Date) => Promise<Holder>,
    lastsMs = SESSION_MS,
  ): Promise<SignedIn> {
    const { secret, hash } = newSignInSecret('session');
    const session = await this.transactions.write(async (tx) => {
      const now = this.clock.now();
      const { person, tokenId } = await admit(tx, now);
      const personId = person?.id ?? null;
      const { fleetId } = fleetScope();
      await removeOldSessions(tx, fleetId, { personId, tokenId }, now);
      const row = Object.assign(new Session(), {
        ...{ fleetId, id: uuidv7(), personId, tokenId, hash, device },
        ...{
          createdAt: now,
          lastUsedAt: now,
          expiresAt: new Date(now.getTime() + lastsMs),
          revokedAt: null,
        },
      });
      await tx.insert(Session, row);
      return sessionView(row, person, row.id);
    });
    return { secret, session };
  }
}
