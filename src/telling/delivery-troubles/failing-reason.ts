import { LEGACY, type Message } from '../../domain/message.js';
import { GONE, SWITCHED_OFF } from './delivery-trouble.js';
import { message } from './messages.js';

const MAIL_SERVER = 'the mail server answered ';
const RECEIVER = 'the receiver answered ';
const NOBODY = 'no answer came';

/** How an attempt went, as it is stored: it holds nothing of what the receiver wrote. */
export function howItWent({ smtpStatus, httpStatus }: HowItWent): string {
  if (smtpStatus !== null) return `${MAIL_SERVER}${smtpStatus}`;
  return httpStatus === null ? NOBODY : `${RECEIVER}${httpStatus}`;
}

interface HowItWent {
  smtpStatus: number | null;
  httpStatus: number | null;
}

/** What is stored of how an attempt went, as a message. */
export function failingReason(stored: string | null): Message {
  if (stored === null || stored === NOBODY) return message('target-no-answer');
  if (stored.startsWith(MAIL_SERVER))
    return message('target-mail-server-answered', { status: stored.slice(MAIL_SERVER.length) });
  if (stored.startsWith(RECEIVER))
    return message('target-receiver-answered', { status: stored.slice(RECEIVER.length) });
  return { code: LEGACY, values: { text: stored } };
}

/** What is stored of why nothing is sent to a target, as a message. */
export function disabledReason(stored: string): Message {
  if (stored === GONE) return message('target-gone');
  if (stored === SWITCHED_OFF) return message('target-switched-off');
  return { code: LEGACY, values: { text: stored } };
}
