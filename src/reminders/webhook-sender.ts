import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import { Webhook } from 'standardwebhooks';
import { Agent, buildConnector, type Dispatcher, request } from 'undici';
import { Config } from '../platform/config/config.js';
import {
  AddressRefused,
  addressRefusal,
  guardedLookup,
  isIpLiteral,
  webhookAddressFault,
} from './address-guard.js';

const CONNECT_WITHIN_MS = 5_000;
/** So much of the answer is read and kept. */
const ANSWER_BYTES = 2048;

/** A message by the Standard Webhooks specification. */
export interface WebhookMessage {
  /** The same on every attempt, so that a receiver can tell a repetition. */
  id: string;
  address: string;
  secret: string;
  body: string;
}

/** How an attempt went. */
export interface SendResult {
  httpStatus: number | null;
  durationMs: number;
  error: string | null;
  /** The first 2 kB of the answer. */
  answer: string | null;
}

export function isAccepted({ httpStatus, error }: SendResult): boolean {
  return error === null && httpStatus !== null && httpStatus >= 200 && httpStatus < 300;
}

/** Sends webhooks, to public addresses only. */
@Injectable()
export class WebhookSender implements OnApplicationShutdown {
  private readonly agent: Agent;

  constructor(private readonly config: Config) {
    this.agent = guardedAgent(config.allowLocalWebhooks);
  }

  /** Why nothing can be sent to an address; null when it can. */
  addressFault(address: string): string | null {
    return webhookAddressFault(address, this.config.allowLocalWebhooks);
  }

  /** One attempt. It does not throw: whatever happens is in the result. */
  async send(message: WebhookMessage): Promise<SendResult> {
    const begun = performance.now();
    // The receiver holds it against its own clock, so it is the machine's time and no other.
    const sentAt = new Date();
    const duration = (): number => Math.round(performance.now() - begun);
    try {
      // Redirects are not followed: where one leads was never agreed to.
      const response = await request(message.address, {
        method: 'POST',
        dispatcher: this.agent,
        signal: AbortSignal.timeout(this.config.sendTimeoutMs),
        headers: {
          'content-type': 'application/json',
          'user-agent': 'weephole',
          'webhook-id': message.id,
          'webhook-timestamp': String(Math.floor(sentAt.getTime() / 1000)),
          'webhook-signature': new Webhook(message.secret).sign(message.id, sentAt, message.body),
        },
        body: message.body,
      });
      const { statusCode } = response;
      const answer = await firstBytes(response.body);
      const error = statusCode >= 300 && statusCode < 400 ? 'redirects are not followed' : null;
      return { httpStatus: statusCode, durationMs: duration(), error, answer };
    } catch (error) {
      return {
        httpStatus: null,
        durationMs: duration(),
        error: reasonOf(error, this.config.sendTimeoutMs),
        answer: null,
      };
    }
  }

  async onApplicationShutdown(): Promise<void> {
    await this.agent.destroy();
  }
}

/** Connects only where the guard lets it: the check is made on the address that is connected to, by name or literal. */
function guardedAgent(allowLoopback: boolean): Agent {
  const connector = buildConnector({ lookup: guardedLookup(allowLoopback), timeout: CONNECT_WITHIN_MS });
  return new Agent({
    connect(options, callback) {
      const refusal = isIpLiteral(options.hostname) ? addressRefusal(options.hostname, allowLoopback) : null;
      if (refusal) callback(new AddressRefused(`${options.hostname} ${refusal}`), null);
      else connector(options, callback);
    },
  });
}

/** The beginning of an answer. The status has decided already: a rest that is endless, slow or cut off changes nothing. */
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
    // What came is kept.
  }
  // PostgreSQL's text cannot hold a NUL.
  return Buffer.concat(chunks).subarray(0, ANSWER_BYTES).toString('utf8').replaceAll('\u0000', '');
}

function reasonOf(error: unknown, timeoutMs: number): string {
  if (!(error instanceof Error)) return String(error);
  if (error.name === 'TimeoutError') return `no complete answer within ${timeoutMs / 1000} s`;
  const { code } = error as { code?: string };
  const text = error.message || code || error.name;
  return (code && !text.includes(code) ? `${text} (${code})` : text).slice(0, 500);
}
