import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * A certificate authority for one test, with the certificates it signs, as files for servers and
 * clients.
 */
export interface Authority {
  /** Path of its root certificate. */
  root: string;
  /** Signs a certificate for a host name. Returns the paths of the certificate and its key. */
  certify(hostname: string): { cert: string; key: string };
  remove(): void;
}

/** Creates the authority with openssl, which the machines that run the tests have. */
export function createAuthority(): Authority {
  const folder = mkdtempSync(join(tmpdir(), 'weephole-ca-'));
  const file = (name: string): string => join(folder, name);
  const openssl = (...args: string[]): void => {
    execFileSync('openssl', args, { stdio: 'pipe' });
  };
  const newKey = ['-newkey', 'rsa:2048', '-nodes', '-days', '2'];
  openssl(
    'req',
    '-x509',
    ...newKey,
    '-subj',
    '/CN=Test root',
    '-keyout',
    file('ca.key'),
    '-out',
    file('ca.crt'),
  );
  return {
    root: file('ca.crt'),
    certify(hostname) {
      const [key, request, cert, extensions] = ['key', 'csr', 'crt', 'ext'].map((kind) =>
        file(`${hostname}.${kind}`),
      ) as [string, string, string, string];
      writeFileSync(extensions, `subjectAltName=DNS:${hostname}\n`);
      openssl('req', ...newKey, '-subj', `/CN=${hostname}`, '-keyout', key, '-out', request);
      openssl(
        ...[
          'x509',
          '-req',
          '-in',
          request,
          '-CA',
          file('ca.crt'),
          '-CAkey',
          file('ca.key'),
          '-CAcreateserial',
        ],
        ...['-days', '2', '-extfile', extensions, '-out', cert],
      );
      return { cert, key };
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}
