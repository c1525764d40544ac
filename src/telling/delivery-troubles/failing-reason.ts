import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** The outcome of an attempt as it is stored. It contains nothing that the receiver wrote. */
export function howItWent({ smtpStatus, httpStatus }: HowItWent): Message {
  if (smtpStatus !== null) return message('target-mail-server-answered', { status: String(smtpStatus) });
  if (httpStatus !== null) return message('target-receiver-answered', { status: String(httpStatus) });
  return message('target-no-answer');
}

interface HowItWent {
  smtpStatus: number | null;
  httpStatus: number | null;
}
