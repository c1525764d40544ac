import { Module } from '@nestjs/common';
import { MailSender } from './mail-sender.js';
import { MessageSender } from './message-sender.js';
import { WebhookSender } from './webhook-sender.js';

/** Sending, by whichever way. */
@Module({ providers: [WebhookSender, MailSender, MessageSender], exports: [MessageSender] })
export class SendersModule {}
