import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import { Webhook } from 'standardwebhooks';
import { type Agent, type Dispatcher, request } from 'undici';
import type { Message } from '../../../domain/message.js';
import { Config } from '../../../platform/config/config.js';
import { webAddressFault } from '../../../platform/outbound/address-guard.js';
import { connectionFault } from '../../../platform/outbound/connection-fault.js';
import { guardedAgent } from '../../../platform/outbound/guarded-agent.js';
import { message as attemptMessage } from './attempt-messages.js';
import { ANSWER_BYTES, storableAnswer, type SendResult } from './send-result.js';

/** A message as the Standard Webhooks specification defines it. */
export interface WebhookMessage {
  /** The same on every attempt, so that a receiver can recognise a repetition. */
  id: string;
  address: string;
  /**
   * The valid secrets. Each one signs the message, so that a receiver can change to the new secret
   * when it suits.
   */
  secrets: string[];
  body: string;
}

/** Sends webhooks: over https to public addresses, and to local ones if the settings allow it. */
@Injectable()
export class WebhookSender implements OnApplicationShutdown {
  private readonly agent: Agent;

  constructor(private readonly config: Config) {
    this.agent = guardedAgent(config.allowLocalWebhooks);
  }

  /** Why nothing can be sent to an address; null when it can. */
  addressFault(address: string): Message | null {
    return webAddressFault(address, this.config.allowLocalWebhooks);
  }

  /** Makes one attempt. Never throws: errors are part of the result. */
  async send(message: WebhookMessage): Promise<SendResult> {
    const begun = performance.now();
    // Use the machine's real time, because the receiver compares it with its own clock.
    const sentAt = new Date();
    const duration = (): number => Math.round(performance.now() - begun);
    try {
      // Redirects are not followed, because nobody has agreed to their target.
      const response = await request(message.address, {
        method: 'POST',
        dispatcher: this.agent,
        signal: AbortSignal.timeout(this.config.sendTimeoutMs),
        headers: {
          'content-type': 'application/json',
          'user-agent': 'weephole',
          'webhook-id': message.id,
          'webhook-timestamp': String(Math.floor(sentAt.getTime() / 1000)),
          'webhook-signature': message.secrets
            .map((secret) => new Webhook(secret).sign(message.id, sentAt, message.body))
            .join(' '),
        },
        body: message.body,
      });
      const { statusCode } = response;
      const answer = await firstBytes(response.body);
      const error = statusCode >= 300 && statusCode < 400 ? attemptMessage('attempt-redirected') : null;
      return {
        ...{ outcome: outcomeOf(statusCode), httpStatus: statusCode, smtpStatus: null },
        ...{ durationMs: duration(), error, answer },
      };
    } catch (error) {
      const isLate = error instanceof Error && error.name === 'TimeoutError';
      return {
        ...{ outcome: 'failed', httpStatus: null, smtpStatus: null, durationMs: duration(), answer: null },
        error: isLate
          ? attemptMessage('attempt-too-slow', { seconds: this.config.sendTimeoutMs / 1000 })
          : connectionFault(error),
      };
    }
  }

  async onApplicationShutdown(): Promise<void> {
    await this.agent.destroy();
  }
}

/**
 * 410 means that the receiver wants no more messages (Standard Webhooks specification). All other
 * failures may be fixed.
 */
function outcomeOf(statusCode: number): SendResult['outcome'] {
  if (statusCode >= 200 && statusCode < 300) return 'accepted';
  return statusCode === 410 ? 'gone' : 'failed';
}

/**
 * Returns the beginning of an answer. The status has already decided the outcome, so it does not
 * matter if the rest is endless, slow or cut off.
 */
async function firstBytes(body: Dispatcher.ResponseData['body']): Promise<string> {
  const chunks: Buffer[] = [];
  let size = 0;
  try {
    for await (const chunk of body as AsyncIterable<Buffer>) {
      chunks.push(chunk);
      size += chunk.length;
      if (size >= ANSWER_BYTES) break;
    }
  } catch {
    // Keep what has arrived.
  }
  return storableAnswer(Buffer.concat(chunks));
}
