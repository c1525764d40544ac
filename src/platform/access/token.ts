import { hash, randomBytes } from 'node:crypto';

const TOKEN = /^wh_[A-Za-z0-9_-]{43}$/;

/** Whether a text has the form of a token of this service. */
export const isToken = (text: string): boolean => TOKEN.test(text);

/** Creates a token of 256 random bits. It is shown once; only its hash is stored. */
export function issueToken(): { token: string; hash: Buffer } {
  const token = `wh_${randomBytes(32).toString('base64url')}`;
  return { token, hash: hashToken(token) };
}

export function hashToken(token: string): Buffer {
  return hash('sha256', token, 'buffer');
}
