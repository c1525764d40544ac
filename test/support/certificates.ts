import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/**
 * A certificate authority of a test's own, and certificates that it signs; files, as servers and
 * clients read them.
 */
export interface Authority {
  /** The file of its root certificate. */
  root: string;
  /** Signs a certificate for a host name; the files of the certificate and of its key. */
  certify(hostname: string): { cert: string; key: string };
  remove(): void;
}

/** Made by openssl, which is on the machines that run the tests. */
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
