import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { Person } from '../../entities/person.entity.js';
import { hashSecret, isSignInSecret } from '../../platform/access/secrets-of-sign-in.js';
import { holdersOf, type TokenHolder } from '../../platform/access/token-holders.js';
import { hashToken, isToken } from '../../platform/access/token.js';
import { Clock } from '../../platform/clock/clock.js';
import { Problem, unacceptable } from '../../platform/problems/problem.js';
import { type Actor, type FleetScope, inFleet } from '../../platform/scope/fleet-scope.js';
import { PERSON_ROLES } from '../../platform/scope/roles.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';
import { ProviderSignInService } from './provider-sign-in.service.js';
import type { SignInInput } from './session.dto.js';
import { SessionStore, type SignedIn } from './session-store.js';
import { findLink, redeemLink } from './sign-in.queries.js';

const refused = (detail: Message): Problem => new Problem(401, 'no-valid-sign-in', detail);

/** Opens sessions. The request has no fleet yet: the code or the token names it. */
@Injectable()
export class SignInService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly sessions: SessionStore,
    private readonly provider: ProviderSignInService,
    private readonly clock: Clock,
  ) {}

  /** @throws Problem 401, 403 or 422 */
  open(input: SignInInput, device: string | null, requestId: string): Promise<SignedIn> {
    const { code, token, provider } = input;
    const given = [code, token, provider].filter((one) => one != null);
    if (given.length === 1) {
      if (code != null) return this.byLink(code.trim(), device, requestId);
      if (token != null) return this.byToken(token.trim(), device, requestId);
      if (provider != null) return this.provider.open(provider, device, requestId);
    }
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
      this.sessions.store(device, async (tx, now) => {
        // The lock keeps the person from leaving meanwhile.
        const active = await tx.findOne(Person, {
          where: { fleetId, id: personId },
          lock: { mode: 'for_key_share' },
        });
        if (!active || active.leftAt !== null || !(await redeemLink(tx, fleetId, link.id, now)))
          throw refused(message('sign-in-spent'));
        return { person: active, tokenId: null };
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
      this.sessions.store(device, () => Promise.resolve({ person: null, tokenId: holder.token_id })),
    );
  }
}
