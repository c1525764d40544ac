import { Injectable, type OnApplicationShutdown } from '@nestjs/common';
import type { IncomingHttpHeaders } from 'node:http';
import { type Agent, type Dispatcher, request } from 'undici';
import { Clock } from '../../../platform/clock/clock.js';
import { Config } from '../../../platform/config/config.js';
import { webAddressFault } from '../../../platform/outbound/address-guard.js';
import { connectionFault } from '../../../platform/outbound/connection-fault.js';
import { guardedAgent } from '../../../platform/outbound/guarded-agent.js';
import { message } from '../messages.js';
import { PollFailure } from './poll-failure.js';
import { askedToWaitMs } from './waiting.js';

/** The largest answer that is read, in MiB. */
const MOST_MEBIBYTES = 16;

/** An answer with a status of 2xx. */
export interface SourceAnswer {
  bytes: Buffer;
  headers: IncomingHttpHeaders;
}

export interface SourceRequest {
  method?: 'GET' | 'POST';
  headers: Record<string, string>;
  body?: string;
}

/**
 * Asks telematics sources. Connects only where webhooks may go, follows no redirects, and gives up
 * on an answer that is slow or endless.
 */
@Injectable()
export class SourceClient implements OnApplicationShutdown {
  private readonly agent: Agent;

  constructor(
    private readonly config: Config,
    private readonly clock: Clock,
  ) {
    this.agent = guardedAgent(config.allowLocalWebhooks);
  }

  /** @throws PollFailure for anything but an answer of 2xx that could be read as a whole */
  async ask(address: URL, { method = 'GET', headers, body }: SourceRequest): Promise<SourceAnswer> {
    const unsafe = webAddressFault(address.href, this.config.allowLocalWebhooks);
    if (unsafe) throw new PollFailure(unsafe);
    const signal = AbortSignal.timeout(this.config.pollTimeoutMs);
    try {
      const response = await request(address, {
        method,
        signal,
        dispatcher: this.agent,
        headers: { 'user-agent': 'weephole', ...headers },
        ...(body === undefined ? {} : { body }),
      });
      await this.assertGood(response);
      return { bytes: await wholeBody(response), headers: response.headers };
    } catch (error) {
      if (error instanceof PollFailure) throw error;
      if (signal.aborted)
        throw new PollFailure(message('poll-too-slow', { seconds: this.config.pollTimeoutMs / 1000 }));
      throw new PollFailure(connectionFault(error));
    }
  }

  private async assertGood({ statusCode: status, headers, body }: Dispatcher.ResponseData): Promise<void> {
    if (status >= 200 && status < 300) return;
    body.on('error', () => undefined).destroy();
    const waitMs = askedToWaitMs(headers, this.clock.now());
    if (status >= 300 && status < 400)
      throw new PollFailure(message('poll-redirected', { status }), { status });
    if (status === 401 || status === 403)
      throw new PollFailure(message('poll-sign-in-refused', { status }), { status, waitMs });
    if (status === 429 || (status === 503 && waitMs !== null))
      throw new PollFailure(message('poll-asked-to-wait', { status }), { status, waitMs });
    const isLinkAtFault = status >= 400 && status < 500;
    throw new PollFailure(message('poll-answered', { status }), { status, waitMs, isLinkAtFault });
  }

  async onApplicationShutdown(): Promise<void> {
    await this.agent.destroy();
  }
}

async function wholeBody({ body, headers }: Dispatcher.ResponseData): Promise<Buffer> {
  const chunks: Buffer[] = [];
  let size = 0;
  assertSize(Number(headers['content-length'] ?? 0), body);
  for await (const chunk of body as AsyncIterable<Buffer>) {
    size += chunk.length;
    assertSize(size, body);
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

function assertSize(bytes: number, body: Dispatcher.ResponseData['body']): void {
  if (bytes <= MOST_MEBIBYTES * 1024 * 1024) return;
  body.on('error', () => undefined).destroy();
  throw new PollFailure(message('poll-too-large', { most: MOST_MEBIBYTES }));
}
