import { Injectable, type OnModuleDestroy } from '@nestjs/common';
import type { FastifyInstance, FastifyReply } from 'fastify';
import { setTimeout as delay } from 'node:timers/promises';
import { Problem } from '../problems/problem.js';
import { sendProblem } from './problem.filter.js';
import { message } from './messages.js';

/** What is being answered has so long to end once the process is asked to. */
const GRACE_MS = 10_000;

/** An event stream has no end of its own: its reader comes back elsewhere. */
function isEndless(reply: FastifyReply): boolean {
  return String(reply.getHeader('content-type') ?? '').startsWith('text/event-stream');
}

/** Lets a process end without cutting off what it is answering. */
@Injectable()
export class Draining implements OnModuleDestroy {
  private readonly underWay = new Set<FastifyReply>();
  private isEnding = false;

  /** To be called before any other hook answers requests. */
  watch(fastify: FastifyInstance): void {
    fastify.addHook('onRequest', (request, reply, done) => {
      if (this.isEnding) {
        // So that the client opens its next connection to somebody else.
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

  // The first that is done when the application is closed: queue and database are still there.
  async onModuleDestroy(): Promise<void> {
    this.isEnding = true;
    const until = performance.now() + GRACE_MS;
    while ([...this.underWay].some((reply) => !isEndless(reply)) && performance.now() < until)
      await delay(20);
  }
}
