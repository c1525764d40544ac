import { type AddressObject, type ParsedMail, simpleParser } from 'mailparser';
import type { AddressInfo } from 'node:net';
import { SMTPServer, type SMTPServerSession } from 'smtp-server';
import { until } from './receiver.js';

/** An e-mail as it arrived: the raw bytes, and as parsed by an independent library. */
export interface ReceivedMail {
  raw: string;
  parsed: ParsedMail;
  from: string;
  to: string[];
  /** Whether it arrived over TLS. */
  isSecure: boolean;
}

/** A real mail server on loopback that accepts e-mail and answers as the test decides. */
export interface MailServer {
  url: string;
  received: ReceivedMail[];
  /** The answers to the recipient and to the arrived message; null accepts. */
  refuseRecipient: string | null;
  refuseMessage: string | null;
  untilReceived(count: number): Promise<ReceivedMail[]>;
  close(): Promise<void>;
}

/** Turns "450 try later" into an error that the server library sends. */
function reply(text: string): Error {
  return Object.assign(new Error(text.slice(4)), { responseCode: Number(text.slice(0, 3)) });
}

/** @param tls certificate for STARTTLS; without it, the server does not offer TLS */
export async function startMailServer(tls?: { cert: Buffer; key: Buffer }): Promise<MailServer> {
  const server = new SMTPServer({
    ...tls,
    authOptional: true,
    disabledCommands: tls ? ['AUTH'] : ['STARTTLS', 'AUTH'],
    logger: false,
    onRcptTo(_address, _session, done) {
      done(mail.refuseRecipient === null ? null : reply(mail.refuseRecipient));
    },
    onData(stream, session, done) {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', () => {
        const raw = Buffer.concat(chunks);
        if (mail.refuseMessage !== null) return done(reply(mail.refuseMessage));
        simpleParser(raw, {}, (error, parsed) => {
          if (!error)
            mail.received.push({
              raw: raw.toString('utf8'),
              parsed,
              isSecure: session.secure,
              ...envelopeOf(session),
            });
          done(error, '2.0.0 taken as 42');
        });
      });
    },
  });
  server.on('error', () => undefined);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  const { port } = server.server.address() as AddressInfo;
  const mail: MailServer = {
    url: `smtp://127.0.0.1:${port}`,
    received: [],
    refuseRecipient: null,
    refuseMessage: null,
    async untilReceived(count) {
      await until(
        () => mail.received.length >= count,
        10_000,
        () => `${mail.received.length} of ${count} e-mails arrived`,
      );
      return mail.received;
    },
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
  return mail;
}

function envelopeOf({ envelope }: SMTPServerSession): { from: string; to: string[] } {
  const from = envelope.mailFrom === false ? '' : envelope.mailFrom.address;
  return { from, to: envelope.rcptTo.map(({ address }) => address) };
}

/** Returns every address in the headers that name people. */
export function namedIn({ parsed }: ReceivedMail): string[] {
  return [parsed.to, parsed.cc, parsed.bcc]
    .flat()
    .filter((each): each is AddressObject => each !== undefined)
    .flatMap(({ value }) => value.map(({ address }) => address ?? ''));
}
