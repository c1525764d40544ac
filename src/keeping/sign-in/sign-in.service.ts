import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { Person } from '../../entities/person.entity.js';
import { Session } from '../../entities/session.entity.js';
import { hashSecret, isSignInSecret, newSignInSecret } from '../../platform/access/secrets-of-sign-in.js';
import { holdersOf, type TokenHolder } from '../../platform/access/token-holders.js';
import { hashToken, isToken } from '../../platform/access/token.js';
import { Clock } from '../../platform/clock/clock.js';
import { Transactions } from '../../platform/database/transactions.js';
import { Problem, unacceptable } from '../../platform/problems/problem.js';
import { type Actor, type FleetScope, fleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { PERSON_ROLES } from '../../platform/scope/roles.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import type { SessionView, SignInInput } from './session.dto.js';
import { SESSION_MS, sessionView } from './session-view.js';
import { findLink, redeemLink, removeOldSessions } from './sign-in.queries.js';

export interface SignedIn {
  /** For the cookie. It is never stored. */
  secret: string;
  session: SessionView;
}

interface Holder {
  personId: string | null;
  tokenId: string | null;
}

const refused = (detail: Message): Problem => new Problem(401, 'no-valid-sign-in', detail);

/** Opens sessions. The request has no fleet yet: the code or the token names it. */
@Injectable()
export class SignInService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  /** @throws Problem 401, 403 or 422 */
  open({ code, token }: SignInInput, device: string | null, requestId: string): Promise<SignedIn> {
    if (code != null && token == null) return this.byLink(code.trim(), device, requestId);
    if (token != null && code == null) return this.byToken(token.trim(), device, requestId);
    throw unacceptable([{ pointer: '/code', detail: message('sign-in-one-of') }]);
  }

  private async byLink(code: string, device: string | null, requestId: string): Promise<SignedIn> {
    if (!isSignInSecret('link', code)) throw refused(message('sign-in-code-malformed'));
    const link = await findLink(this.dataSource.manager, hashSecret(code));
    // Unknown, used and expired codes get the same answer.
    if (!link) throw refused(message('sign-in-spent'));
    const { fleetId, personId, timeZone, units } = link;
    const scope: FleetScope = { fleetId, timeZone, units, tokenId: null, role: null };
    const person = await inFleet(scope, () =>
      this.dataSource.manager.findOneBy(Person, { fleetId, id: personId }),
    );
    if (!person) throw refused(message('sign-in-spent'));
    const actor: Actor = { kind: 'person', id: personId, role: person.role, requestId };
    return inFleet({ ...scope, actor }, () =>
      this.store({ personId, tokenId: null }, device, async (tx, now) => {
        // The lock keeps the person from leaving meanwhile.
        const active = await tx.findOne(Person, {
          where: { fleetId, id: personId },
          lock: { mode: 'for_key_share' },
        });
        if (!active || active.leftAt !== null || !(await redeemLink(tx, fleetId, link.id, now)))
          throw refused(message('sign-in-spent'));
        return active;
      }),
    );
  }

  private async byToken(token: string, device: string | null, requestId: string): Promise<SignedIn> {
    const now = this.clock.now();
    const [holder] = isToken(token)
      ? await holdersOf(
          (text, values) => this.dataSource.query<(TokenHolder & { hash: Buffer })[]>(text, values),
          [hashToken(token)],
          now,
        )
      : [];
    if (!holder || (holder.expires_at && holder.expires_at <= now))
      throw refused(message('sign-in-token-refused'));
    const { fleet_id: fleetId, time_zone: timeZone, units, role } = holder;
    if (!PERSON_ROLES.some((own) => own === role)) {
      const detail = message('sign-in-token-of-program', { role });
      throw new Problem(403, 'wrong-role', detail, [{ pointer: '/token', detail }]);
    }
    const actor: Actor = { kind: 'token', id: holder.token_id, role, requestId };
    return inFleet({ fleetId, timeZone, units, tokenId: holder.token_id, role, actor }, () =>
      this.store({ personId: null, tokenId: holder.token_id }, device, () => Promise.resolve(null)),
    );
  }

  /** Stores a session under a secret of its own, never under one that the browser brought along. */
  private async store(
    { personId, tokenId }: Holder,
    device: string | null,
    admit: (tx: EntityManager, now: Date) => Promise<Person | null>,
  ): Promise<SignedIn> {
    const { secret, hash } = newSignInSecret('session');
    const session = await this.transactions.write(async (tx) => {
      const now = this.clock.now();
      const person = await admit(tx, now);
      const { fleetId } = fleetScope();
      await removeOldSessions(tx, fleetId, { personId, tokenId }, now);
      const row = Object.assign(new Session(), {
        ...{ fleetId, id: uuidv7(), personId, tokenId, hash, device },
        ...{
          createdAt: now,
          lastUsedAt: now,
          expiresAt: new Date(now.getTime() + SESSION_MS),
          revokedAt: null,
        },
      });
      await tx.insert(Session, row);
      return sessionView(row, person, row.id);
    });
    return { secret, session };
  }
}
