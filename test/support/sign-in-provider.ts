import { createServer, type IncomingMessage, type RequestListener, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { exportJWK, generateKeyPair } from 'jose';
import { Provider } from 'oidc-provider';

/** Whose browser it is; null: whoever it is says no. */
export interface WhoSignsIn {
  claims: Record<string, unknown> | null;
}

const CLIENT = { client_id: 'weephole-pages', token_endpoint_auth_method: 'none' as const };
const OWN_CLAIMS = ['name', 'weephole_fleet', 'weephole_role', 'weephole_depots'];

/** Answers what the provider asks of whoever signs in, as a person would on its page. */
async function interact(
  provider: Provider,
  who: WhoSignsIn,
  request: IncomingMessage,
  reply: ServerResponse,
): Promise<void> {
  const { prompt, params, session } = await provider.interactionDetails(request, reply);
  if (who.claims === null) return provider.interactionFinished(request, reply, { error: 'access_denied' });
  if (prompt.name === 'login')
    return provider.interactionFinished(request, reply, { login: { accountId: 'ana' } });
  const grant = new provider.Grant({
    accountId: String(session?.accountId),
    clientId: String(params.client_id),
  });
  grant.addOIDCScope(String(params.scope));
  const grantId = await grant.save();
  return provider.interactionFinished(request, reply, { consent: { grantId } });
}

/** Starts a real OpenID Connect provider on the loopback interface, at which people sign in. */
export async function startSignInProvider(redirectUri: string): Promise<{
  url: string;
  who: WhoSignsIn;
  close(): Promise<void>;
}> {
  const { privateKey } = await generateKeyPair('RS256', { extractable: true });
  const who: WhoSignsIn = { claims: null };
  let listener: RequestListener = (_request, reply) => void reply.writeHead(503).end();
  const server = createServer((request, reply) => listener(request, reply));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const provider = new Provider(url, {
    jwks: { keys: [{ ...(await exportJWK(privateKey)), alg: 'RS256', use: 'sig' }] },
    clients: [{ ...CLIENT, redirect_uris: [redirectUri], application_type: 'native' }],
    claims: { openid: ['sub'], profile: OWN_CLAIMS },
    conformIdTokenClaims: false,
    findAccount: (_context, id) => ({ accountId: id, claims: () => ({ sub: id, ...who.claims }) }),
    interactions: { url: (_context, { uid }) => `/interaction/${uid}` },
    features: { devInteractions: { enabled: false } },
    cookies: { keys: ['on the loopback only'] },
  });
  const answer = provider.callback();
  listener = (request, reply) =>
    request.url?.startsWith('/interaction/')
      ? void interact(provider, who, request, reply)
      : void answer(request, reply);
  return {
    ...{ url, who },
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
