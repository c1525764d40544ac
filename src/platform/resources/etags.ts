import type { FastifyReply } from 'fastify';
import { Problem } from '../problems/problem.js';
import { message } from './messages.js';

/** The strong tag of a single resource: its version. */
export function tagVersion<T extends { version: number }>(reply: FastifyReply, resource: T): T {
  void reply.header('etag', `"${resource.version}"`).header('cache-control', 'private, no-cache');
  return resource;
}

/**
 * Refuses a change to a resource that has changed since the client read it.
 *
 * @throws Problem 412 when `If-Match` names another version
 */
export function assertUnchanged(ifMatch: string | undefined, version: number): void {
  if (ifMatch === undefined || ifMatch.trim() === '*') return;
  const tags = ifMatch.split(',').map((tag) => tag.trim());
  if (!tags.includes(`"${version}"`)) {
    throw new Problem(412, 'changed-meanwhile', message('record-changed', { version: String(version) }), [
      { header: 'If-Match', detail: message('version-not-current', { version: String(version) }) },
    ]);
  }
}
