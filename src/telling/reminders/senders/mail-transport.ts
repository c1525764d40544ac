import { createTransport, type Transporter } from 'nodemailer';
import type SMTPTransport from 'nodemailer/lib/smtp-transport/index.js';
import type { MailSettings } from '../../../platform/config/config.js';

const CONNECT_WITHIN_MS = 5_000;

export type MailTransport = Transporter<SMTPTransport.SentMessageInfo>;

/**
 * Opens the connection to the deployer's mail server.
 *
 * @param answerWithinMs how long the server may take for one answer
 */
export function mailTransport({ url, requiresTls }: MailSettings, answerWithinMs: number): MailTransport {
  return createTransport({
    url,
    requireTLS: requiresTls,
    connectionTimeout: CONNECT_WITHIN_MS,
    dnsTimeout: CONNECT_WITHIN_MS,
    greetingTimeout: answerWithinMs,
    socketTimeout: answerWithinMs,
    // A message must never read a file or fetch a URL.
    disableFileAccess: true,
    disableUrlAccess: true,
  });
}
