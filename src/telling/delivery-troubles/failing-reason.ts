import { isMessage, type Message } from '../../domain/message.js';
import { message } from './messages.js';

/** The outcome of an attempt as it is stored. It contains nothing that the receiver wrote. */
export function howItWent({ smtpStatus, httpStatus, error }: HowItWent): Message {
  if (smtpStatus !== null) return message('target-mail-server-answered', { status: String(smtpStatus) });
  if (httpStatus !== null) return message('target-receiver-answered', { status: String(httpStatus) });
  switch (error?.code) {
    case 'attempt-too-slow':
    case 'attempt-mail-server-too-slow':
      return error;
    case 'attempt-address-fault':
    case 'attempt-address-refused':
      return message('target-address-refused');
    case 'attempt-not-made': {
      const { why } = error.values;
      return isMessage(why) ? why : message('target-no-answer');
    }
    default:
      return message('target-no-answer');
  }
}

interface HowItWent {
  smtpStatus: number | null;
  httpStatus: number | null;
  error: Message | null;
}
