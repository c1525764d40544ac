import { createServer } from 'node:http';
import { SignInDesk } from './sign-in-desk.js';
import type { AddressInfo } from 'node:net';
import { type CryptoKey, exportJWK, generateKeyPair, type JWTPayload, SignJWT } from 'jose';

interface Key {
  kid: string;
  alg: string;
  privateKey: CryptoKey;
  publicJwk: Record<string, unknown>;
}

/**
 * A real token issuer on the loopback interface: it publishes its keys, and signs whatever a test
 * wants signed.
 */
export interface Issuer {
  url: string;
  /** How many times its keys have been requested. */
  keysAsked: number;
  /** Switches to a new key, and publishes only that one. */
  rotate(alg?: string): Promise<void>;
  /** The public key as it is published. */
  publicJwk(): Record<string, unknown>;
  /** What the next sign-in on its page says, besides what belongs to the protocol; null: no one is let in. */
  next: JWTPayload | null;
  /** What came to its token endpoint, the latest last. */
  redeemed: { form: URLSearchParams; authorization: string | undefined }[];
  sign(claims: JWTPayload, header?: Record<string, unknown>): Promise<string>;
  /** Stops answering; `up` makes it answer again. */
  down(): void;
  up(): void;
  close(): Promise<void>;
}

let made = 0;

async function newKey(alg: string): Promise<Key> {
  const { privateKey, publicKey } = await generateKeyPair(alg, { extractable: true });
  const kid = `key-${++made}`;
  return { kid, alg, privateKey, publicJwk: { ...(await exportJWK(publicKey)), kid, alg, use: 'sig' } };
}

export async function startIssuer(alg = 'RS256'): Promise<Issuer> {
  let key = await newKey(alg);
  let isDown = false;
  const desk = new SignInDesk();
  const server = createServer((request, reply) => {
    if (isDown) {
      reply.destroy();
      return;
    }
    reply.setHeader('content-type', 'application/json');
    if (request.url === '/.well-known/openid-configuration') {
      const { url } = issuer;
      const endpoints = { authorization_endpoint: `${url}/authorize`, token_endpoint: `${url}/token` };
      reply.end(JSON.stringify({ issuer: url, jwks_uri: `${url}/keys`, ...endpoints }));
    } else if (request.url?.startsWith('/authorize?')) {
      reply.writeHead(302, { location: desk.letIn(new URL(request.url, issuer.url), issuer.next) }).end();
    } else if (request.url === '/token') {
      void desk.redeem(request, issuer, reply);
    } else if (request.url === '/keys') {
      issuer.keysAsked++;
      reply.end(JSON.stringify({ keys: [key.publicJwk] }));
    } else reply.writeHead(404).end();
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const issuer: Issuer = {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    keysAsked: 0,
    next: null,
    redeemed: [],
    async rotate(nextAlg = 'RS256') {
      key = await newKey(nextAlg);
    },
    publicJwk: () => key.publicJwk,
    sign: (claims, header = {}) =>
      new SignJWT(claims)
        .setProtectedHeader({ alg: key.alg, kid: key.kid, typ: 'JWT', ...header })
        .sign(key.privateKey),
    down() {
      isDown = true;
    },
    up() {
      isDown = false;
    },
    async close() {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
  return issuer;
}
