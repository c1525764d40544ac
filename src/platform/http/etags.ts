import type { FastifyReply, FastifyRequest } from 'fastify';
import { createHash } from 'node:crypto';
import type { EntityManager } from 'typeorm';
import { fleetScope } from '../database/fleet-scope.js';
import { Problem } from './problem.js';
import { unitsOfRequest } from './presenter.interceptor.js';

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
    throw new Problem(
      412,
      'changed-meanwhile',
      `The record is at version ${version} now. Read it again, and repeat your change.`,
      [{ header: 'If-Match', detail: `does not name the current version "${version}"` }],
    );
  }
}

/**
 * Tags a list by everything its answer depends on, and says whether the client has that answer already.
 *
 * The tag is weak: it stands for the same content, not for the same bytes. It changes with any change of the fleet, and at the
 * fleet's midnight, when states change by themselves.
 */
export async function tagList(
  manager: EntityManager,
  request: FastifyRequest,
  reply: FastifyReply,
  asOf: string,
): Promise<boolean> {
  const { fleetId, role, depotIds = null } = fleetScope();
  const [change] = await manager.query<{ number: number }[]>(
    'select number from fleet_changes where fleet_id = $1',
    [fleetId],
  );
  const parts = [fleetId, change?.number ?? 0, asOf, unitsOfRequest(request), role, depotIds, request.url];
  const tag = `W/"${createHash('sha256').update(JSON.stringify(parts)).digest('base64url').slice(0, 22)}"`;
  void reply.header('etag', tag).header('cache-control', 'private, no-cache').header('vary', varyBy(reply));
  const known = request.headers['if-none-match'];
  return (
    known !== undefined && (known === '*' || known.split(',').some((candidate) => candidate.trim() === tag))
  );
}

/** What the answer depends on besides its address; the origin, too, where pages of other origins may ask. */
function varyBy(reply: FastifyReply): string {
  const also = reply.getHeader('vary');
  return also === undefined ? 'Authorization' : `${String(also)}, Authorization`;
}
