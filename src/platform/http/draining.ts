import { Injectable, type OnModuleDestroy } from '@nestjs/common';
import type { FastifyInstance, FastifyReply } from 'fastify';
import { setTimeout as delay } from 'node:timers/promises';
import { Problem } from '../problems/problem.js';
import { sendProblem } from './problem.filter.js';
import { message } from './messages.js';

/** When the process is asked to end, requests in progress have this long to finish. */
const GRACE_MS = 10_000;

/** An event stream never ends by itself. Its reader reconnects to another process. */
function isEndless(reply: FastifyReply): boolean {
  return String(reply.getHeader('content-type') ?? '').startsWith('text/event-stream');
}

/** Lets requests in progress finish before the process ends. */
@Injectable()
export class Draining implements OnModuleDestroy {
  private readonly underWay = new Set<FastifyReply>();
  private isEnding = false;

  /** Must be called before any other hook that can answer requests. */
  watch(fastify: FastifyInstance): void {
    fastify.addHook('onRequest', (request, reply, done) => {
      if (this.isEnding) {
        // Makes the client open its next connection to another process.
        const headers = { connection: 'close', 'retry-after': '5' };
        const detail = message('process-ending');
        sendProblem(new Problem(503, 'ending', detail, [], headers), request, reply);
        return;
      }
      this.underWay.add(reply);
      reply.raw.once('close', () => this.underWay.delete(reply));
      done();
    });
  }

  // Nest calls this first when the application closes: queue and database are still up.
  async onModuleDestroy(): Promise<void> {
    this.isEnding = true;
    const until = performance.now() + GRACE_MS;
    while ([...this.underWay].some((reply) => !isEndless(reply)) && performance.now() < until)
      await delay(20);
  }
}
