import { Injectable } from '@nestjs/common';
import type { Message } from '../../../domain/message.js';
import type { ReminderTarget } from '../../../entities/reminder.entity.js';
import { message } from './address-messages.js';
import { MailSender } from './mail-sender.js';
import type { SendResult } from './send-result.js';
import { WebhookSender } from './webhook-sender.js';

/** Where a message goes, and the secrets that sign it. */
export type Destination = Pick<
  ReminderTarget,
  'kind' | 'address' | 'secret' | 'previousSecret' | 'previousSecretUntil'
>;

/** Sends a message by webhook or e-mail, as its target requires. */
@Injectable()
export class MessageSender {
  constructor(
    private readonly webhooks: WebhookSender,
    private readonly mail: MailSender,
  ) {}

  /** Why no target of this kind can be added; null when one can. */
  kindFault(kind: Destination['kind']): Message | null {
    return kind === 'email' && !this.mail.isSetUp ? message('target-no-mail') : null;
  }

  /** Why nothing can be sent to an address; null when it can. Ignores spaces around it. */
  addressFault({ kind, address }: Pick<Destination, 'kind' | 'address'>): Message | null {
    return kind === 'email' ? this.mail.addressFault(address) : this.webhooks.addressFault(address.trim());
  }

  /** Makes one attempt. Never throws: errors are part of the result. */
  send(id: string, body: string, to: Destination, now: Date): Promise<SendResult> {
    const { kind, address } = to;
    return kind === 'email'
      ? this.mail.send({ id, address, body })
      : this.webhooks.send({ id, address, body, secrets: secretsInForce(to, now) });
  }
}

function secretsInForce({ secret, previousSecret, previousSecretUntil }: Destination, now: Date): string[] {
  const isPreviousGood = previousSecretUntil !== null && previousSecretUntil > now;
  return [secret, isPreviousGood ? previousSecret : null].filter((each) => each !== null);
}
