import { signal } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { WeepholeClient } from '../../../../typescript/src/client.js';
import { reader } from '../texts/tell.js';

export type Session = components['schemas']['SessionView'];

/**
 * Only a mark: who is signed in is in a cookie that no script can read, and that only the service
 * can end.
 */
const KEPT_AS = 'weephole-signed-in';

const signedIn = signal(localStorage.getItem(KEPT_AS) !== null);

const over = signal(false);

/** Whether the service ended the sign-in, not whoever was signed in. */
export const isOver = (): boolean => over.value;

/** Whether somebody is signed in on this browser. */
export const isSignedIn = (): boolean => signedIn.value;

/** A client of the service for whoever is signed in, in the language of the page unless given. */
export function service(language: string = reader.value.language): WeepholeClient {
  return new WeepholeClient({
    ...{ baseUrl: location.origin, token: null, language },
    // Other sites cannot send it, so they can do nothing in the name of whoever is signed in.
    headers: { 'weephole-page': '1' },
  });
}

/**
 * Signs this browser in, by the code of a link, by a token, or by what the provider gave.
 *
 * @throws ProblemError when it is refused
 */
export async function signIn(
  given: { code: string } | { token: string } | { provider: components['schemas']['ProviderCodeInput'] },
): Promise<Session> {
  const { data } = await service().post('/v1/sessions', { body: given });
  localStorage.setItem(KEPT_AS, data.id);
  signedIn.value = true;
  over.value = false;
  return data;
}

/**
 * Notes that nobody is signed in.
 *
 * @param isRefused the service says so; else somebody left
 */
export function forgetSession(isRefused = false): void {
  over.value = isRefused;
  localStorage.removeItem(KEPT_AS);
  signedIn.value = false;
}

/** Signs this browser out. Without a network, the service hears of it when somebody signs in. */
export function signOut(): void {
  service()
    .delete('/v1/sessions/current')
    .catch((why: unknown) => console.info('the session is not ended yet:', why));
  forgetSession();
}
