import { signal } from '@preact/signals';
import { WeepholeClient } from '../../../../typescript/src/client.js';
import { reader } from '../texts/tell.js';

/** Gone with the tab. */
const KEPT_AS = 'weephole-token';

const token = signal<string | null>(sessionStorage.getItem(KEPT_AS));

/** Whether somebody is signed in on this tab. */
export const isSignedIn = (): boolean => token.value !== null;

export function signIn(given: string): void {
  sessionStorage.setItem(KEPT_AS, given);
  token.value = given;
}

export function signOut(): void {
  sessionStorage.removeItem(KEPT_AS);
  token.value = null;
}

/** The token that a stream of events is opened with. */
export const tokenInUse = (): string => token.value ?? '';

/** A client of the service for whoever is signed in, in the language of the page. */
export function service(): WeepholeClient {
  return new WeepholeClient({
    ...{ baseUrl: location.origin, token: token.value ?? '', language: reader.value.language },
  });
}
