import type { components } from '../../../../typescript/src/client.js';

export type Provider = components['schemas']['ProviderView'];

interface Attempt {
  state: string;
  nonce: string;
  verifier: string;
}

/** Kept until the provider sends the browser back, for this tab alone. */
const KEPT_AS = 'weephole-provider-attempt';
const SECRET_BYTES = 32;

function base64url(bytes: Uint8Array): string {
  const text = btoa(String.fromCodePoint(...bytes));
  return text.replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}

const secret = (): string => base64url(crypto.getRandomValues(new Uint8Array(SECRET_BYTES)));

/** The PKCE challenge of a verifier (RFC 7636, 4.2). */
async function challengeOf(verifier: string): Promise<string> {
  const hash = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(verifier));
  return base64url(new Uint8Array(hash));
}

/**
 * Sends the browser to the provider (OpenID Connect Core, 3.1.2.1). If this page is open under
 * another address than the one that the provider sends it back to, it is opened there first.
 */
export async function goToProvider(provider: Provider): Promise<void> {
  const { authorizationEndpoint, clientId, redirectUri, scope } = provider;
  if (new URL(redirectUri).origin !== location.origin) {
    location.assign(redirectUri);
    return;
  }
  const attempt: Attempt = { state: secret(), nonce: secret(), verifier: secret() };
  sessionStorage.setItem(KEPT_AS, JSON.stringify(attempt));
  const address = new URL(authorizationEndpoint);
  const asked = {
    ...{ response_type: 'code', client_id: clientId, redirect_uri: redirectUri, scope },
    ...{ state: attempt.state, nonce: attempt.nonce },
    ...{ code_challenge: await challengeOf(attempt.verifier), code_challenge_method: 'S256' },
  };
  for (const [name, value] of Object.entries(asked)) address.searchParams.set(name, value);
  location.assign(address.href);
}

/** With what the provider sent the browser back. */
export type Return =
  | { is: 'nothing' }
  /** The provider or the person said no. */
  | { is: 'refused' }
  /** Not what this tab asked for: somebody may have planted the address. */
  | { is: 'not-asked-for' }
  | { is: 'code'; given: { code: string; verifier: string; nonce: string } };

/** Reads, once, what the provider put into the address, and takes it out of the address. */
export function returnOf(asked: URLSearchParams): Return {
  const [code, state] = [asked.get('code'), asked.get('state')];
  if (state === null || (code === null && !asked.has('error'))) return { is: 'nothing' };
  const kept = sessionStorage.getItem(KEPT_AS);
  sessionStorage.removeItem(KEPT_AS);
  history.replaceState(null, '', location.pathname);
  const attempt = kept === null ? null : (JSON.parse(kept) as Attempt);
  if (attempt === null || attempt.state !== state) return { is: 'not-asked-for' };
  if (code === null) return { is: 'refused' };
  return { is: 'code', given: { code, verifier: attempt.verifier, nonce: attempt.nonce } };
}
