import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import Negotiator from 'negotiator';
import { createHash } from 'node:crypto';
import { gzipSync } from 'node:zlib';
import { LABEL_STYLE_SOURCE } from '../../register/labels/label-sheet.js';
import { STYLE_SOURCE } from '../job-cards/page/card-style.js';
import { type AppFile, appFiles } from './app-files.js';

/**
 * Allows the pages' own files, and the API. The only styles inside a page are those of a printable
 * job card and of a sheet of labels, which are shown in frames.
 */
const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  `style-src 'self' ${STYLE_SOURCE} ${LABEL_STYLE_SOURCE}`,
  "connect-src 'self'",
  "img-src 'self' data: blob:",
  "manifest-src 'self'",
  "worker-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** No page uses the camera but the phone's, for labels; and no page of another server may. */
const DEVICES = 'microphone=(), geolocation=(), payment=(), usb=()';
const permissionsOf = (page: string): string =>
  page === PAGES['phone'] ? `camera=(self), ${DEVICES}` : `camera=(), ${DEVICES}`;

/** Where each page is. The address of a view is below it; the page itself finds the view. */
const PAGES: Record<string, string> = { desk: '/desk', phone: '/phone', 'sign-in': '/sign-in' };

/**
 * Serves the pages that are built from `clients/pages`. Files with a hash in their name are cached
 * for good. Of a page itself, the browser asks each time whether it has changed.
 */
export function serveApps(fastify: FastifyInstance): void {
  for (const file of appFiles()) {
    const page = PAGES[file.name.replace(/\.html$/, '')];
    if (page === undefined) serveFile(fastify, `/pages/${file.name}`, file, headersOf(file.name));
    else servePage(fastify, page, file);
  }
}

/**
 * A file with a hash in its name never changes. The others keep their address: the icons, and the
 * service worker, which may serve the phone page although it is not below it.
 */
function headersOf(name: string): Record<string, string> {
  if (name.startsWith('assets/')) return { 'cache-control': 'public, max-age=31536000, immutable' };
  if (name !== 'phone-worker.js') return { 'cache-control': 'no-cache' };
  return {
    'cache-control': 'no-cache',
    'service-worker-allowed': '/phone',
    'content-security-policy': POLICY,
  };
}

function servePage(fastify: FastifyInstance, path: string, { type, content }: AppFile): void {
  const etag = `"${createHash('sha256').update(content).update(POLICY).digest('hex').slice(0, 20)}"`;
  const answer = (request: FastifyRequest, reply: FastifyReply): void => {
    void reply.headers({
      'content-security-policy': POLICY,
      'permissions-policy': permissionsOf(path),
      'referrer-policy': 'no-referrer',
      'cache-control': 'no-cache',
      etag,
    });
    if (request.headers['if-none-match'] === etag) return void reply.status(304).send();
    void reply.type(type).send(content);
  };
  fastify.get(path, answer);
  fastify.get(`${path}/*`, answer);
}

/** Serves a file, compressed if the browser accepts that. */
function serveFile(
  fastify: FastifyInstance,
  path: string,
  { type, content }: AppFile,
  headers: Record<string, string>,
): void {
  let compressed: Buffer | undefined;
  fastify.get(path, (request: FastifyRequest, reply: FastifyReply) => {
    void reply.type(type).headers({ ...headers, vary: 'accept-encoding' });
    if (new Negotiator(request).encoding(['gzip', 'identity']) !== 'gzip') return void reply.send(content);
    compressed ??= gzipSync(content);
    void reply.header('content-encoding', 'gzip').send(compressed);
  });
}
