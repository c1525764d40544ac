import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FastifyInstance } from 'fastify';
import { STYLE_SOURCE } from '../job-cards/page/card-style.js';
import { boardPage } from './board-page.js';
import { BOARD_STYLE } from './board-style.js';

/**
 * What the build makes of `clients/board`: beside the compiled service, and in `dist/` while tests
 * run it uncompiled.
 */
const FOLDERS = ['../../../board/', '../../../dist/board/'];

/** What runs the page; it loads the others. */
const ENTRY = 'board/src/main.js';
const STYLE_NAME = 'board.css';

/**
 * Its own scripts and style, and the API. A printable job card is shown in a frame, and brings the
 * one other style.
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

interface BoardFile {
  name: string;
  type: string;
  content: Buffer;
}

/** @throws Error where the board has not been built */
function boardFiles(): BoardFile[] {
  const folder = FOLDERS.map((path) => fileURLToPath(new URL(path, import.meta.url))).find((path) =>
    existsSync(join(path, ENTRY)),
  );
  if (folder === undefined) throw new Error('the board has not been built; run npm run build');
  const scripts = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.js'))
    .map((path) => ({
      name: relative(folder, join(folder, path)).split(sep).join('/'),
      type: 'text/javascript; charset=utf-8',
      content: readFileSync(join(folder, path)),
    }))
    // Types alone leave an empty module behind, which nothing loads.
    .filter(({ content }) => content.toString().trim() !== 'export {};')
    .sort((a, b) => (a.name < b.name ? -1 : 1));
  const style = { name: STYLE_NAME, type: 'text/css; charset=utf-8', content: Buffer.from(BOARD_STYLE) };
  return [...scripts, style];
}

/**
 * Serves the page `GET /board`, and what it is made of under a path that names the content: a
 * browser keeps that for good, and asks for the page alone whether there is anything new.
 */
export function serveBoard(fastify: FastifyInstance): void {
  const files = boardFiles();
  const digest = createHash('sha256');
  for (const { name, content } of files) digest.update(name).update('\0').update(content).update('\0');
  const root = `/board/${digest.digest('hex').slice(0, 20)}/`;
  const page = boardPage({
    entry: root + ENTRY,
    style: root + STYLE_NAME,
    scripts: files.filter(({ name }) => name.endsWith('.js')).map(({ name }) => root + name),
  });
  const tag = `"${createHash('sha256').update(page).update(POLICY).digest('hex').slice(0, 20)}"`;
  fastify.get('/board', (request, reply) => {
    void reply.headers({
      'content-security-policy': POLICY,
      'referrer-policy': 'no-referrer',
      'cache-control': 'no-cache',
      etag: tag,
    });
    if (request.headers['if-none-match'] === tag) return void reply.status(304).send();
    void reply.type('text/html; charset=utf-8').send(page);
  });
  fastify.get('/board/', (_request, reply) => void reply.redirect('/board', 308));
  for (const { name, type, content } of files) {
    fastify.get(root + name, (_request, reply) => {
      void reply.type(type).header('cache-control', 'public, max-age=31536000, immutable').send(content);
    });
  }
}
