import { hash, randomBytes } from 'node:crypto';

/**
 * The secret of a session, in its cookie, and that of a sign-in link, in its address. Each begins
 * in its own way, so that none is taken in the place of another, or of an access token.
 */
export type SignInSecretKind = 'session' | 'link';

const PREFIX = { session: 'whs_', link: 'whl_' } as const;
/** 256 bits for a session. A link lives for minutes, and its QR code should stay small. */
const BYTES = { session: 32, link: 20 } as const;
const FORM = { session: /^whs_[A-Za-z0-9_-]{43}$/, link: /^whl_[A-Za-z0-9_-]{27}$/ } as const;

export interface SignInSecret {
  secret: string;
  hash: Buffer;
}

/** Creates a random secret. It is shown once; only its hash is stored. */
export function newSignInSecret(kind: SignInSecretKind): SignInSecret {
  const secret = PREFIX[kind] + randomBytes(BYTES[kind]).toString('base64url');
  return { secret, hash: hashSecret(secret) };
}

export const isSignInSecret = (kind: SignInSecretKind, text: string): boolean => FORM[kind].test(text);

export function hashSecret(secret: string): Buffer {
  return hash('sha256', secret, 'buffer');
}
