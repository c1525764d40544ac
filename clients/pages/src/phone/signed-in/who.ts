import { signal } from '@preact/signals';
import type { UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import type { components } from '../../../../typescript/src/client.js';
import { isSignedIn, service, signIn, signOut } from '../../kit/service/session.js';
import { readIn } from '../../kit/texts/tell.js';

/** Who uses the phone. What is kept is kept for this person alone. */
export interface Who {
  /** Tells people apart, also those who share a fleet. */
  key: string;
  name: string | null;
  fleet: string;
  units: UnitSystem;
  timeZone: string;
  depotIds: readonly string[] | null;
}

/** The last who signed in here and did not sign out; known without a network. */
export const who = signal<Who | null>(readWho());

const KEPT_AS = 'weephole-phone-who';
const TOKEN_KEPT_AS = 'weephole-phone-token';
const TOKEN = 'weephole-token';

function readWho(): Who | null {
  try {
    return JSON.parse(localStorage.getItem('weephole-phone-who') ?? 'null') as Who | null;
  } catch {
    return null;
  }
}

/** Goes on as whoever signed in on this phone before, with no request. */
export function resume(): void {
  const token = localStorage.getItem(TOKEN_KEPT_AS);
  if (!isSignedIn() && token !== null) signIn(token);
  if (who.value !== null) readIn(who.value.units);
}

/** Finds out who has just signed in. */
export async function meet(): Promise<void> {
  const token = sessionStorage.getItem(TOKEN) ?? '';
  const me = (await service().get('/v1/me')).data;
  const met = await whoIs(me, token);
  localStorage.setItem(KEPT_AS, JSON.stringify(met));
  localStorage.setItem(TOKEN_KEPT_AS, token);
  who.value = met;
  readIn(met.units);
}

async function whoIs(me: components['schemas']['MeView'], token: string): Promise<Who> {
  const personal = me.person?.id ?? (await digestOf(token));
  return {
    ...{ key: `${me.fleet.id}/${personal}`, name: me.person?.badge ?? me.person?.name ?? null },
    ...{ fleet: me.fleet.name, units: me.units, timeZone: me.timeZone },
    depotIds: me.depots?.map(({ id }) => id) ?? null,
  };
}

/** Tells tokens of nobody in particular apart, without keeping them. */
async function digestOf(token: string): Promise<string> {
  if (crypto.subtle === undefined) return 'everybody';
  const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(token));
  return Array.from(new Uint8Array(digest, 0, 8), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** Signs out on this phone. Reports that wait stay until the same person signs in again. */
export function leave(): void {
  localStorage.removeItem(KEPT_AS);
  localStorage.removeItem(TOKEN_KEPT_AS);
  who.value = null;
  signOut();
}
