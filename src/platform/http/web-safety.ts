import { IN_LOGS, textOf } from '../words/render.js';
import cors from '@fastify/cors';
import type { FastifyInstance } from 'fastify';
import helmet from 'helmet';
import { IncomingMessage, ServerResponse } from 'node:http';
import { Socket } from 'node:net';
import { explained } from '../problems/explained.js';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';

/**
 * Security headers for browsers: they must not guess the type of an answer, frame it, or load
 * anything on its behalf. Pages set what they need themselves. Forcing https is the proxy's job,
 * because the proxy serves https.
 */
const POLICY = {
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'none'"],
      frameAncestors: ["'none'"],
      baseUri: ["'none'"],
      formAction: ["'none'"],
    },
  },
  strictTransportSecurity: false,
  // Headers for browsers that are no longer in use, or that repeat what browsers now do by default.
  // Each answer would carry them for nothing.
  originAgentCluster: false,
  xDnsPrefetchControl: false,
  xDownloadOptions: false,
  xPermittedCrossDomainPolicies: false,
  xXssProtection: false,
} as const;

const SENT = [
  'authorization',
  'content-type',
  'if-match',
  'if-none-match',
  'idempotency-key',
  'last-event-id',
];
const SHOWN = ['etag', 'link', 'ratelimit', 'ratelimit-policy', 'retry-after'];

/**
 * Makes the headers once. They are the same on every answer, and making them takes as long as all
 * other work on a small answer.
 */
function safetyHeaders(): Record<string, string> {
  const answer = new ServerResponse(new IncomingMessage(new Socket()));
  helmet(POLICY)(answer.req, answer, (error) => {
    if (error) throw error as Error;
  });
  return answer.getHeaders() as Record<string, string>;
}

/** For an answer that no hook sees. */
export const SAFETY_HEADERS = safetyHeaders();

/**
 * Adds security headers to every answer, and CORS headers when origins are configured. Must be
 * registered before any hook that answers.
 */
export async function registerWebSafety(fastify: FastifyInstance, corsOrigins: string[]): Promise<void> {
  fastify.addHook('onRequest', (_request, reply, done) => {
    void reply.headers(SAFETY_HEADERS);
    done();
  });
  if (corsOrigins.length === 0) return;
  await fastify.register(cors, {
    origin: corsOrigins.includes('*') ? '*' : corsOrigins,
    methods: ['GET', 'POST', 'PATCH', 'DELETE'],
    allowedHeaders: SENT,
    exposedHeaders: SHOWN,
    maxAge: 600,
  });
}

const UNREADABLE: Record<string, Problem> = {
  ERR_HTTP_REQUEST_TIMEOUT: new Problem(408, 'too-slow', explained('too-slow').meaning),
  HPE_HEADER_OVERFLOW: new Problem(431, 'headers-too-large', message('headers-too-large')),
};

const MALFORMED = new Problem(400, 'malformed-request', message('request-malformed'));

/**
 * Answers input that is not a readable HTTP request. There is no reply object, only the connection.
 */
export function answerUnreadable(error: Error & { code?: string }, socket: Socket): void {
  if (error.code === 'ECONNRESET' || socket.destroyed) return;
  const problem = UNREADABLE[error.code ?? ''] ?? MALFORMED;
  if (socket.writable) {
    const body = JSON.stringify(problem.toBody('/', IN_LOGS));
    socket.write(
      `HTTP/1.1 ${problem.status} ${textOf(problem.title, IN_LOGS)}\r\ncontent-type: application/problem+json; charset=utf-8\r\n` +
        `content-length: ${Buffer.byteLength(body)}\r\nconnection: close\r\n\r\n${body}`,
    );
  }
  socket.destroySoon();
}
