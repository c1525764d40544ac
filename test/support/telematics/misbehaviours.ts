import type { IncomingMessage, ServerResponse } from 'node:http';

/** Answers a request instead of the server. */
export type Misbehaviour = (reply: ServerResponse, request: IncomingMessage) => void;

/** Takes the request and never answers. */
export const hangs: Misbehaviour = () => undefined;

/** Begins an answer and never ends it: one byte after another. */
export const drips: Misbehaviour = (reply) => {
  reply.writeHead(200, { 'content-type': 'application/json' });
  const timer = setInterval(() => reply.write(' '), 20);
  reply.once('close', () => clearInterval(timer));
};

/** Sends without end, as fast as it is read. */
export const floods: Misbehaviour = (reply) => {
  reply.writeHead(200, { 'content-type': 'application/json' });
  const piece = Buffer.alloc(64 * 1024, ' ');
  const more = (): void => {
    while (!reply.destroyed && reply.write(piece));
    if (!reply.destroyed) reply.once('drain', more);
  };
  more();
};

/** Breaks the connection in the middle of the answer. */
export const breaksOff: Misbehaviour = (reply) => {
  reply.writeHead(200, { 'content-type': 'application/json', 'content-length': '1000' });
  reply.write('{"Equipment":[', () => reply.destroy());
};

/** 429 Too Many Requests (RFC 6585). @param retryAfter seconds or an HTTP date; null for none */
export const tooManyRequests =
  (retryAfter: string | null): Misbehaviour =>
  (reply) => {
    reply.writeHead(429, retryAfter === null ? {} : { 'retry-after': retryAfter }).end();
  };

export const answers =
  (status: number, body = '', mediaType = 'application/json'): Misbehaviour =>
  (reply) => {
    reply.writeHead(status, { 'content-type': mediaType }).end(body);
  };

/** Points elsewhere, such as to a private address. */
export const redirectsTo =
  (location: string): Misbehaviour =>
  (reply) => {
    reply.writeHead(302, { location }).end();
  };
