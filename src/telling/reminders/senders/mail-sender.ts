import type { Config } from '../../../platform/config/config.js';
import { controlCharacterIn, isMailAddress } from '../../../platform/config/mail-address.js';
import type { Message } from '../../../domain/message.js';
import { message } from './address-messages.js';
import type { MailTransport } from './mail-transport.js';
import type { MessageBody } from './message-body.js';
import { connectionFault, storable } from '../../../platform/outbound/connection-fault.js';
import { message as attemptMessage } from './attempt-messages.js';
import { storableAnswer, type SendResult } from './send-result.js';
import { mailText } from './mail-text.js';

/**
 * The whole dialogue with a mail server may take this many times the send timeout, because mail
 * servers answer more slowly than webhook receivers.
 */
const TIMEOUTS = 3;

export interface Mail {
  /**
   * The same on every attempt. The `Message-ID` is made from it, so that mail programs can
   * recognise a repetition.
   */
  id: string;
  address: string;
  body: string;
}

interface SmtpError extends Error {
  code?: string;
  responseCode?: number;
  response?: string;
}

/** Sends e-mail through the deployer's own mail server. */
export class MailSender {
  /** @param transport to the mail server; null when none is configured */
  constructor(
    private readonly config: Config,
    private readonly transport: MailTransport | null,
  ) {}

  /** Why nothing can be sent to an address; null when it can. */
  addressFault(address: string): Message | null {
    const control = controlCharacterIn(address);
    if (control !== null) return message('address-control-character', { character: control });
    return isMailAddress(address.trim()) ? null : message('address-not-mail');
  }

  get isSetUp(): boolean {
    return this.transport !== null;
  }

  /** Makes one attempt. Never throws: errors are part of the result. */
  async send({ id, address, body }: Mail): Promise<SendResult> {
    const begun = performance.now();
    const went = (result: Omit<SendResult, 'httpStatus' | 'durationMs'>): SendResult => ({
      ...result,
      httpStatus: null,
      durationMs: Math.round(performance.now() - begun),
    });
    const { transport } = this;
    const { mail, sendTimeoutMs } = this.config;
    const unsent = (outcome: 'failed' | 'refused', error: Message): SendResult =>
      went({ outcome, smtpStatus: null, error, answer: null });
    if (!transport || !mail) return unsent('failed', attemptMessage('attempt-without-mail-server'));
    // The target may have been added before control characters were refused.
    const fault = this.addressFault(address);
    if (fault !== null) return unsent('refused', attemptMessage('attempt-address-fault', { fault }));
    const told = JSON.parse(body) as MessageBody;
    const domain = mail.from.address.split('@').at(-1) ?? 'localhost';
    const sending = transport.sendMail({
      from: mail.from,
      to: { name: '', address },
      envelope: { from: mail.from.address, to: [address] },
      messageId: `<${id}@${domain}>`,
      date: new Date(told.timestamp),
      // RFC 3834: keeps out-of-office programs from answering.
      headers: { 'Auto-Submitted': 'auto-generated', 'Content-Language': told.language ?? 'en' },
      ...mailText(told),
    });
    try {
      const { response } = await withinMs(sending, TIMEOUTS * sendTimeoutMs);
      return went({
        ...{ outcome: 'accepted', smtpStatus: codeOf(response), error: null },
        answer: storableAnswer(Buffer.from(response)),
      });
    } catch (error) {
      const { responseCode, response } = error as SmtpError;
      return went({
        outcome: isForGood(error as SmtpError) ? 'refused' : 'failed',
        smtpStatus: responseCode ?? null,
        error: mailFault(error as SmtpError),
        answer: response === undefined ? null : storableAnswer(Buffer.from(response)),
      });
    }
  }
}

/** What the mail server answered, else what kept the message from it. */
function mailFault(error: SmtpError): Message {
  if (error instanceof TooSlow)
    return attemptMessage('attempt-mail-server-too-slow', { seconds: error.seconds });
  const { code, response } = error;
  return response === undefined || code === 'ETLS'
    ? connectionFault(error)
    : attemptMessage('attempt-mail-server-answered', { answer: storable(response) });
}

/** The mail server did not take the message in time. */
class TooSlow extends Error {
  constructor(readonly seconds: number) {
    super(`the mail server took longer than ${seconds} s`);
  }
}

/**
 * Whether an error is final. A 5xx reply about the address or the message is; one about the
 * connection or the login can be fixed.
 */
function isForGood({ code, responseCode = 0 }: SmtpError): boolean {
  return responseCode >= 500 && (code === 'EENVELOPE' || code === 'EMESSAGE');
}

const codeOf = (response: string): number | null => Number(/^\d{3}/.exec(response)?.[0]) || null;

async function withinMs<T>(work: Promise<T>, ms: number): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_resolve, reject) => {
    timer = setTimeout(() => reject(new TooSlow(ms / 1000)), ms);
  });
  try {
    return await Promise.race([work, late]);
  } finally {
    clearTimeout(timer);
  }
}
