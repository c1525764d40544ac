import { createHash, createHmac, pbkdf2Sync, randomBytes } from 'node:crypto';

/** PostgreSQL's own default (`scram_iterations`). */
const ITERATIONS = 4096;

const hmac = (key: Buffer, text: string): Buffer => createHmac('sha256', key).update(text).digest();

/**
 * Returns the verifier that PostgreSQL stores for a password (RFC 5803). Sending the verifier keeps
 * the password itself out of the server's log and statistics, whatever they record of statements.
 *
 * @param password printable ASCII, which SASLprep (RFC 4013) leaves unchanged
 */
export function scramVerifier(password: string, salt = randomBytes(16)): string {
  const salted = pbkdf2Sync(password, salt, ITERATIONS, 32, 'sha256');
  const storedKey = createHash('sha256').update(hmac(salted, 'Client Key')).digest('base64');
  const serverKey = hmac(salted, 'Server Key').toString('base64');
  return `SCRAM-SHA-256$${ITERATIONS}:${salt.toString('base64')}$${storedKey}:${serverKey}`;
}
