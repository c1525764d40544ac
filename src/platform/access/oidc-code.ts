import type { OidcClient } from '../config/access-settings.js';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';

/** How long the provider may take to answer. */
export const PATIENCE_MS = 5_000;

/** What a page has when the provider sends somebody back to it. */
export interface ProviderCode {
  code: string;
  /** What the page made before, and the provider has only the hash of (RFC 7636). */
  verifier: string;
  /** What the provider must repeat in its answer, so that it is for this attempt. */
  nonce: string;
}

/**
 * Form-encodes a name or a secret before they go into a header, as RFC 6749, 2.3.1 asks.
 */
const encoded = (text: string): string => new URLSearchParams({ v: text }).toString().slice(2);

function requestOf({ id, secret, redirectUri }: OidcClient, { code, verifier }: ProviderCode): RequestInit {
  const body = new URLSearchParams({
    ...{ grant_type: 'authorization_code', code },
    ...{ redirect_uri: redirectUri, code_verifier: verifier },
    ...(secret === null && { client_id: id }),
  });
  const pair = secret === null ? null : `${encoded(id)}:${encoded(secret)}`;
  return {
    method: 'POST',
    body,
    headers: {
      accept: 'application/json',
      ...(pair !== null && { authorization: `Basic ${Buffer.from(pair).toString('base64')}` }),
    },
    redirect: 'error',
    signal: AbortSignal.timeout(PATIENCE_MS),
  };
}

/**
 * Redeems a code at the provider (RFC 6749, 4.1.3).
 *
 * @returns the ID token, which is not verified yet
 * @throws Problem 401 when the provider refuses the code
 * @throws Error when the provider does not answer, or refuses this service
 */
export async function redeemCode(
  tokenEndpoint: string,
  client: OidcClient,
  given: ProviderCode,
): Promise<string> {
  const response = await fetch(tokenEndpoint, requestOf(client, given));
  const answer = (await response.json()) as { id_token?: unknown; error?: unknown } | null;
  if (response.ok && typeof answer?.id_token === 'string') return answer.id_token;
  // The only error that whoever signs in can cause. All others are of how the service is set up.
  if (answer?.error === 'invalid_grant')
    throw new Problem(401, 'no-valid-sign-in', message('sign-in-code-refused'));
  const why = typeof answer?.error === 'string' ? answer.error : 'without an ID token';
  throw new Error(`its token_endpoint answered ${response.status} ${why}`);
}
