import { createServer, type RequestListener } from 'node:http';
import type { AddressInfo } from 'node:net';
import { exportJWK, generateKeyPair } from 'jose';
import { Provider } from 'oidc-provider';

const CLIENT = { client_id: 'fleet-app', client_secret: 'on the loopback only' };

/**
 * Starts a real OpenID Connect provider on the loopback interface, which issues tokens for the
 * service to an application.
 */
export async function startProvider(claims: Record<string, unknown>): Promise<{
  url: string;
  audience: string;
  /** The claims of the next tokens. */
  claims: Record<string, unknown>;
  token(): Promise<string>;
  close(): Promise<void>;
}> {
  const audience = 'https://weephole.example';
  const { privateKey } = await generateKeyPair('RS256', { extractable: true });
  let listener: RequestListener = (_request, reply) => void reply.writeHead(503).end();
  const server = createServer((request, reply) => listener(request, reply));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const provider = new Provider(url, {
    jwks: { keys: [{ ...(await exportJWK(privateKey)), alg: 'RS256', use: 'sig' }] },
    clients: [{ ...CLIENT, grant_types: ['client_credentials'], redirect_uris: [], response_types: [] }],
    features: {
      devInteractions: { enabled: false },
      clientCredentials: { enabled: true },
      resourceIndicators: {
        enabled: true,
        defaultResource: () => audience,
        getResourceServerInfo: () => ({ scope: '', audience, accessTokenFormat: 'jwt' }),
      },
    },
    extraTokenClaims: () => claims,
  });
  listener = provider.callback();
  return {
    url,
    audience,
    claims,
    async token() {
      const answer = await fetch(`${url}/token`, {
        method: 'POST',
        body: new URLSearchParams({ ...CLIENT, grant_type: 'client_credentials' }),
      });
      const { access_token: token } = (await answer.json()) as { access_token?: string };
      if (!token) throw new Error(`the provider gave no token: ${answer.status}`);
      return token;
    },
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
}
