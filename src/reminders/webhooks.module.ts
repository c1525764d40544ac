import { Module } from '@nestjs/common';
import { WebhookSender } from './webhook-sender.js';

@Module({ providers: [WebhookSender], exports: [WebhookSender] })
export class WebhooksModule {}
