import { Module } from '@nestjs/common';
import { Config } from '../../../platform/config/config.js';
import { MailSender } from './mail-sender.js';
import { MessageSender } from './message-sender.js';
import { WebhookSender } from './webhook-sender.js';

/** Loads the e-mail library only when a mail server is configured. */
async function openMailSender(config: Config): Promise<MailSender> {
  const { mail, sendTimeoutMs } = config;
  if (mail === null) return new MailSender(config, null);
  const { mailTransport } = await import('./mail-transport.js');
  return new MailSender(config, mailTransport(mail, sendTimeoutMs));
}

/** Sends messages by webhook and e-mail. */
@Module({
  providers: [
    WebhookSender,
    { provide: MailSender, inject: [Config], useFactory: openMailSender },
    MessageSender,
  ],
  exports: [MessageSender],
})
export class SendersModule {}
