import { readFileSync } from 'node:fs';
import { readConfig } from '../../../../src/platform/config/config.js';
import { type Mail, MailSender } from '../../../../src/telling/reminders/senders/mail-sender.js';
import { mailTransport } from '../../../../src/telling/reminders/senders/mail-transport.js';
import { type Authority, createAuthority } from '../../../support/certificates.js';
import { inEnglish } from '../../../support/sent-in-english.js';
import { startMailServer } from '../../../support/mail-server.js';

const MAIL = {
  id: 'msg_1',
  address: 'shop@example.org',
  body: JSON.stringify({
    type: 'reminder-target.test',
    timestamp: '2026-04-02T15:00:00Z',
    data: { message: 'This is a test.' },
  }),
};

describe('e-mail with SMTP_REQUIRE_TLS=true', () => {
  let ours: Authority;
  beforeAll(() => {
    ours = createAuthority();
  });
  afterAll(() => ours.remove());

  const certificate = (hostname: string): { cert: Buffer; key: Buffer } => {
    const { cert, key } = ours.certify(hostname);
    return { cert: readFileSync(cert), key: readFileSync(key) };
  };

  /**
   * A sender as the settings make it. The root certificate stands in the address, as a test cannot
   * put it where Node looks.
   */
  function sender(url: string, isRequired: boolean): ReturnType<typeof inEnglish<Mail>> {
    const address = new URL(url);
    address.hostname = 'localhost';
    address.search = `?tls.ca=${encodeURIComponent(readFileSync(ours.root, 'utf8'))}`;
    const config = readConfig(
      { SMTP_URL: address.href, MAIL_FROM: 'fleet@example.org', SMTP_REQUIRE_TLS: String(isRequired) },
      'postgres://nowhere',
    );
    return inEnglish(new MailSender(config, config.mail && mailTransport(config.mail, config.sendTimeoutMs)));
  }

  it('is not sent to a server without STARTTLS, but waits and is tried again', async () => {
    const server = await startMailServer();
    try {
      expect(await sender(server.url, true).send(MAIL)).toMatchObject({
        outcome: 'failed',
        error: expect.stringMatching(/STARTTLS|TLS/),
      });
      expect(server.received).toEqual([]);
      expect(await sender(server.url, false).send(MAIL)).toMatchObject({ outcome: 'accepted' });
      expect(server.received.map(({ isSecure }) => isSecure)).toEqual([false]);
    } finally {
      await server.close();
    }
  });

  it('is sent encrypted to a server with STARTTLS', async () => {
    const server = await startMailServer(certificate('localhost'));
    try {
      expect(await sender(server.url, true).send(MAIL)).toMatchObject({ outcome: 'accepted', error: null });
      expect(server.received.map(({ isSecure }) => isSecure)).toEqual([true]);
    } finally {
      await server.close();
    }
  });

  it('is not sent to a server whose certificate is for another host', async () => {
    const server = await startMailServer(certificate('mail.example'));
    try {
      expect(await sender(server.url, true).send(MAIL)).toMatchObject({
        ...{ outcome: 'failed', error: expect.stringMatching(/altnames/) },
      });
      expect(server.received).toEqual([]);
    } finally {
      await server.close();
    }
  });
});
