import type { EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { Person } from '../../entities/person.entity.js';
import type { SignIn } from '../../platform/access/oidc.js';
import { Problem } from '../../platform/problems/problem.js';
import { PERSON_ROLES, type PersonRole } from '../../platform/scope/roles.js';
import { mayOtherwise } from '../reach/may-otherwise.js';
import { unassign } from '../reach/unassign.js';
import { revokeTokensOf } from '../tokens/tokens-of-person.js';
import { message } from './messages.js';

type Said = SignIn & { name: string };

const roleOf = ({ role }: Said): PersonRole => PERSON_ROLES.find((own) => own === role) ?? 'driver';

async function locked(tx: EntityManager, { fleetId, subject }: Said): Promise<Person | null> {
  return tx.findOne(Person, { where: { fleetId, subject }, lock: { mode: 'pessimistic_write' } });
}

async function added(tx: EntityManager, said: Said, now: Date): Promise<Person | null> {
  const { fleetId, subject, name, depotIds } = said;
  await tx
    .createQueryBuilder()
    .insert()
    .into(Person)
    .values({
      ...{ fleetId, id: uuidv7(), subject, name, depotIds, role: roleOf(said), createdAt: now },
      ...{ badge: null, language: null, leftAt: null, version: 1 },
    })
    // Two devices of somebody new sign in at the same time.
    .orIgnore()
    .execute();
  return locked(tx, said);
}

/**
 * The person whom the provider names, with the role and the depots that it gives; added at the
 * first sign-in. Tokens made for a former role or former depots are revoked, as when a manager
 * changes them.
 *
 * @throws Problem 403 when a manager noted that the person has left
 */
export async function personOfProvider(tx: EntityManager, said: Said, now: Date): Promise<Person> {
  const person = (await locked(tx, said)) ?? (await added(tx, said, now));
  if (person === null) throw new Error(`the person ${said.subject} was added and is not there`);
  if (person.leftAt !== null) throw new Problem(403, 'not-assigned', message('sign-in-person-left'));
  const next = { name: said.name, role: roleOf(said), depotIds: said.depotIds };
  const { fleetId, id } = person;
  const isOther = mayOtherwise(person, next);
  if (!isOther && person.name === next.name) return person;
  if (isOther) {
    await revokeTokensOf(tx, id, now);
    await unassign(tx, { ...next, fleetId, id, leftAt: null }, now);
  }
  const changed = { ...next, version: person.version + 1 };
  await tx.update(Person, { fleetId, id }, changed);
  return Object.assign(person, changed);
}
