import { signal } from '@preact/signals';
import type { UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import type { components } from '../../../../typescript/src/client.js';
import { service, signOut } from '../../kit/service/session.js';
import { readIn } from '../../kit/texts/tell.js';

/** Who uses the phone. What is kept is kept for this person alone. */
export interface Who {
  /** Tells people apart, also those who share a fleet. */
  key: string;
  name: string | null;
  /** Null for a token of nobody in particular. */
  personId: string | null;
  fleet: string;
  units: UnitSystem;
  timeZone: string;
  depotIds: readonly string[] | null;
}

/** The last who signed in here and did not sign out; known without a network. */
export const who = signal<Who | null>(readWho());

const KEPT_AS = 'weephole-phone-who';

function readWho(): Who | null {
  try {
    return JSON.parse(localStorage.getItem('weephole-phone-who') ?? 'null') as Who | null;
  } catch {
    return null;
  }
}

/** Goes on as whoever signed in on this phone before, with no request. */
export function resume(): void {
  if (who.value !== null) readIn(who.value.units);
}

/** Finds out who has just signed in. */
export async function meet(): Promise<void> {
  const me = (await service().get('/v1/me')).data;
  const met = await whoIs(me);
  localStorage.setItem(KEPT_AS, JSON.stringify(met));
  who.value = met;
  readIn(met.units);
}

async function whoIs(me: components['schemas']['MeView']): Promise<Who> {
  const personal = me.person?.id ?? (await tokenInUse(me.sessionId)) ?? 'everybody';
  return {
    ...{ key: `${me.fleet.id}/${personal}`, name: me.person?.badge ?? me.person?.name ?? null },
    personId: me.person?.id ?? null,
    ...{ fleet: me.fleet.name, units: me.units, timeZone: me.timeZone },
    depotIds: me.depots?.map(({ id }) => id) ?? null,
  };
}

/** The id of the token that opened a session: it tells tokens of nobody in particular apart. */
async function tokenInUse(sessionId: string | null): Promise<string | null> {
  const { items } = (await service().get('/v1/sessions', { query: { limit: '200' } })).data;
  return items.find(({ id }) => id === sessionId)?.tokenId ?? null;
}

/** Signs out on this phone. Reports that wait stay until the same person signs in again. */
export function leave(): void {
  localStorage.removeItem(KEPT_AS);
  who.value = null;
  signOut();
}
