import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import Negotiator from 'negotiator';
import { createHash } from 'node:crypto';
import { gzipSync } from 'node:zlib';
import { languageAskedFor } from '../../platform/presenting/language-of-request.js';
import { type Language, LANGUAGES } from '../../platform/words/languages.js';
import { STYLE_SOURCE } from '../job-cards/page/card-style.js';
import { type BoardFile, boardFiles, ENTRY, STYLE_NAME, textsName } from './board-files.js';
import { type BoardAddresses, boardPage, type PageLanguage } from './board-page.js';

/**
 * Allows the board's own scripts and style, and the API. The only other style is that of a
 * printable job card, which is shown in a frame.
 */
const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  `style-src 'self' ${STYLE_SOURCE}`,
  "connect-src 'self'",
  "img-src 'self' data:",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Used before sign-in when the browser asks for no language that we have. */
const USUAL: PageLanguage = { language: 'en', isAsked: false };

/**
 * Serves the page `GET /board` in the language that the browser asks for. The page's files are
 * under a path that contains a hash of their content, so the browser caches them for good. It only
 * asks again whether the page itself has changed.
 */
export function serveBoard(fastify: FastifyInstance): void {
  const files = boardFiles();
  const root = rootOf(files);
  servePage(fastify, addressesOf(files, root));
  fastify.get('/board/', (_request, reply) => void reply.redirect('/board', 308));
  for (const file of files) serveFile(fastify, root + file.name, file);
}

function rootOf(files: readonly BoardFile[]): string {
  const digest = createHash('sha256');
  for (const { name, content } of files) digest.update(name).update('\0').update(content).update('\0');
  return `/board/${digest.digest('hex').slice(0, 20)}/`;
}

function addressesOf(files: readonly BoardFile[], root: string): BoardAddresses {
  const texts = Object.fromEntries(
    LANGUAGES.map((language) => [language, root + textsName(language)]),
  ) as Record<Language, string>;
  const scripts = files.filter(({ name }) => name.endsWith('.js')).map(({ name }) => root + name);
  return {
    ...{ entry: root + ENTRY, style: root + STYLE_NAME, texts },
    scripts: scripts.filter((path) => !Object.values(texts).includes(path)),
  };
}

function servePage(fastify: FastifyInstance, addresses: BoardAddresses): void {
  const made = (given: PageLanguage) => {
    const page = boardPage(addresses, given);
    return { page, tag: `"${createHash('sha256').update(page).update(POLICY).digest('hex').slice(0, 20)}"` };
  };
  const asked = new Map(LANGUAGES.map((language) => [language, made({ language, isAsked: true })]));
  const usual = made(USUAL);
  fastify.get('/board', (request, reply) => {
    const language = languageAskedFor(request.headers['accept-language']);
    const { page, tag } = (language === null ? undefined : asked.get(language)) ?? usual;
    void reply.headers({
      'content-security-policy': POLICY,
      'referrer-policy': 'no-referrer',
      'cache-control': 'no-cache',
      etag: tag,
    });
    if (request.headers['if-none-match'] === tag) return void reply.status(304).send();
    void reply.type('text/html; charset=utf-8').send(page);
  });
}

/** Serves a file to be cached for good, compressed if the browser accepts that. */
function serveFile(fastify: FastifyInstance, path: string, { type, content }: BoardFile): void {
  let compressed: Buffer | undefined;
  fastify.get(path, (request: FastifyRequest, reply: FastifyReply) => {
    void reply
      .type(type)
      .headers({ 'cache-control': 'public, max-age=31536000, immutable', vary: 'accept-encoding' });
    if (new Negotiator(request).encoding(['gzip', 'identity']) !== 'gzip') return void reply.send(content);
    compressed ??= gzipSync(content);
    void reply.header('content-encoding', 'gzip').send(compressed);
  });
}
