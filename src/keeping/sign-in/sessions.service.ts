import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, In, IsNull, MoreThan, type SelectQueryBuilder } from 'typeorm';
import { Person } from '../../entities/person.entity.js';
import { Session } from '../../entities/session.entity.js';
import { EventHub } from '../../telling/due-list-events/event-hub.js';
import { Clock } from '../../platform/clock/clock.js';
import { readPage } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { KEY, Keyset } from '../../platform/pages/keyset.js';
import type { Page } from '../../platform/pages/pages.js';
import { notFound, Problem } from '../../platform/problems/problem.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { message } from './messages.js';
import type { SessionsQuery, SessionView } from './session.dto.js';
import { sessionView } from './session-view.js';

const NEWEST_FIRST = new Keyset('sessions', { createdAt: KEY.instant, id: KEY.uuid });

@Injectable()
export class SessionsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
    private readonly streams: EventHub,
  ) {}

  /** @throws Problem 403 when anybody but a manager asks for somebody else's */
  async list({ personId, ...query }: SessionsQuery): Promise<Page<SessionView>> {
    const { fleetId, role, person, sessionId = null } = fleetScope();
    const of = personId?.toLowerCase();
    if (of !== undefined && of !== person?.id && role !== 'manager') throw notTheirs();
    const page = NEWEST_FIRST.page(query, { personId: of });
    const { manager } = this.dataSource;
    const builder = manager
      .createQueryBuilder(Session, 's')
      .where('s.fleetId = :fleetId and s.revokedAt is null and s.expiresAt > :now', {
        ...{ fleetId, now: this.clock.now() },
      });
    if (of === undefined) ownOnly(builder);
    else builder.andWhere('s.personId = :of', { of });
    const rows = await readPage(builder, page, 'DESC');
    const people = await manager.find(Person, {
      select: { id: true, name: true },
      where: { fleetId, id: In(rows.flatMap((row) => row.personId ?? [])) },
    });
    const named = new Map(people.map((each) => [each.id, each]));
    return page.of(rows, (row) => sessionView(row, named.get(row.personId ?? '') ?? null, sessionId));
  }

  /**
   * Ends a session: it is refused from the next request on, and its streams end at once.
   *
   * @throws Problem 404 also when it is somebody else's, unless a manager asks
   */
  async end(id: string): Promise<void> {
    const { fleetId, role } = fleetScope();
    await this.transactions.write(async (tx) => {
      const now = this.clock.now();
      const inForce = { fleetId, id, revokedAt: IsNull(), expiresAt: MoreThan(now) };
      const session = await tx.findOneBy(Session, inForce);
      if (!session || (role !== 'manager' && !isOwn(session))) throw notFound('session');
      const { affected } = await tx.update(Session, inForce, { revokedAt: now });
      // Somebody else has ended it meanwhile.
      if (!affected) throw notFound('session');
    });
    // The database notifies the other processes.
    this.streams.endStreamsOf(fleetId, id);
  }

  /** @throws Problem 404 for a request with a token */
  async endCurrent(): Promise<void> {
    const { sessionId } = fleetScope();
    if (sessionId == null) throw notFound('session');
    await this.end(sessionId);
  }
}

function notTheirs(): Problem {
  const detail = message('sessions-of-others');
  return new Problem(403, 'wrong-role', detail, [{ parameter: 'personId', detail }]);
}

/** Whoever signed in twice sees both sessions, and so does the holder of a token of the person. */
function isOwn({ personId, tokenId }: Session): boolean {
  const { person, tokenId: own } = fleetScope();
  return personId === null ? tokenId === own : personId === person?.id;
}

function ownOnly(builder: SelectQueryBuilder<Session>): void {
  const { person, tokenId } = fleetScope();
  builder.andWhere('(s.personId = :person or s.tokenId = :token)', {
    ...{ person: person?.id ?? null, token: tokenId },
  });
}
