import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { Person } from '../../entities/person.entity.js';
import { Clock } from '../../platform/clock/clock.js';
import { listBy, lockedRowOf, rowOf } from '../../platform/database/records.js';
import { Transactions } from '../../platform/database/transactions.js';
import { mergePatch } from '../../platform/input/merge-patch.js';
import { validated } from '../../platform/input/validation.pipe.js';
import type { Page } from '../../platform/pages/pages.js';
import { assertUnchanged } from '../../platform/resources/etags.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { boundToDepots } from '../../register/depots/bound-to-depots.js';
import { signOut } from '../sign-in/sign-out.js';
import { mayOtherwise } from '../reach/may-otherwise.js';
import { unassign } from '../reach/unassign.js';
import { revokeTokensOf } from '../tokens/tokens-of-person.js';
import { type PeopleQuery, PersonInput, type PersonView } from './person.dto.js';

@Injectable()
export class PeopleService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly transactions: Transactions,
    private readonly clock: Clock,
  ) {}

  list({ state, badge, ...query }: PeopleQuery): Promise<Page<PersonView>> {
    return listBy(
      this.dataSource.manager,
      Person,
      'name',
      query,
      { state, badge },
      (builder) => {
        if (state !== undefined) builder.andWhere(`r.leftAt is ${state === 'left' ? 'not null' : 'null'}`);
        if (badge !== undefined) builder.andWhere('r.badge = :badge', { badge: badge.trim() });
      },
      viewOf,
    );
  }

  async get(id: string): Promise<PersonView> {
    return viewOf(await rowOf(this.dataSource.manager, Person, id, 'person'));
  }

  create(input: PersonInput): Promise<PersonView> {
    return this.transactions.write(async (tx) => {
      const now = this.clock.now();
      const person = Object.assign(new Person(), {
        ...{ fleetId: fleetScope().fleetId, id: uuidv7(), version: 1, createdAt: now, subject: null },
        ...columnsOf(input, null, now),
        depotIds: await boundToDepots(tx, input),
      });
      await tx.insert(Person, person);
      return viewOf(person);
    });
  }

  /**
   * Whoever leaves, or gets another role or other depots, loses the tokens made for the old ones.
   * Sessions go on in the new role and depots, and end when the person leaves.
   */
  patch(id: string, patch: unknown, ifMatch: string | undefined): Promise<PersonView> {
    return this.transactions.write(async (tx) => {
      const person = await lockedRowOf(tx, Person, id, 'person');
      assertUnchanged(ifMatch, person.version);
      const input = await validated(PersonInput, mergePatch(inputOf(person), patch));
      const now = this.clock.now();
      const changed = {
        ...columnsOf(input, person.leftAt, now),
        depotIds: await boundToDepots(tx, input),
        version: person.version + 1,
      };
      if (changed.leftAt !== null || mayOtherwise(person, changed)) await revokeTokensOf(tx, id, now);
      if (changed.leftAt !== null) await signOut(tx, id, now);
      if (mayNoLonger(person, changed)) await unassign(tx, { ...changed, fleetId: person.fleetId, id }, now);
      await tx.update(Person, { fleetId: person.fleetId, id }, changed);
      return viewOf(Object.assign(person, changed));
    });
  }

  async remove(id: string): Promise<void> {
    await this.transactions.write(async (tx) => {
      const { fleetId } = await lockedRowOf(tx, Person, id, 'person');
      await tx.delete(Person, { fleetId, id });
    });
  }
}

/** True when visits that were assigned to the person may no longer suit. */
const mayNoLonger = (
  before: Person,
  after: Parameters<typeof mayOtherwise>[1] & { leftAt: Date | null },
): boolean => mayOtherwise(before, after) || (after.leftAt !== null && before.leftAt === null);

function columnsOf(input: PersonInput, leftAt: Date | null, now: Date) {
  return {
    name: input.name.trim(),
    badge: input.badge?.trim() ?? null,
    role: input.role,
    language: input.language ?? null,
    leftAt: input.state === 'left' ? (leftAt ?? now) : null,
  };
}

/** The record in the form in which it is posted. A patch is applied to it. */
function inputOf({ name, badge, role, depotIds, language, leftAt }: Person) {
  return { name, badge, role, depotIds, language, state: leftAt === null ? 'active' : 'left' } as const;
}

function viewOf(person: Person): PersonView {
  return {
    id: person.id,
    ...inputOf(person),
    subject: person.subject,
    leftAt: person.leftAt?.toISOString() ?? null,
    createdAt: person.createdAt.toISOString(),
    version: person.version,
  };
}
