import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { OutgoingHttpHeaders } from 'node:http';
import { DataSource } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { languageOfRequest } from '../../platform/presenting/language-of-request.js';
import { unitsOfRequest } from '../../platform/presenting/presenter.interceptor.js';
import type { DueListEventsQuery } from './due-list-events.dto.js';
import { horizonOf, type Horizon } from './due-list-events.queries.js';
import { EventHub } from './event-hub.js';
import { type EventId, readId } from './event-position.js';
import { EventReader } from './event-reader.js';
import { noneFree, StreamPlaces } from './stream-places.js';
import { StreamSettings } from './stream-settings.js';

/** Another process's clock may be this far ahead of ours. */
const CLOCKS_APART_S = 60;

/**
 * How long a stream lasts that was opened with a sign-in instead of one of this service's tokens.
 */
const SIGN_IN_LASTS_MS = 15 * 60_000;

const HEADERS = {
  'content-type': 'text/event-stream; charset=utf-8',
  'cache-control': 'no-store, no-transform',
  // Asks proxies not to buffer the response.
  'x-accel-buffering': 'no',
};

/** Where a stream starts, or why it cannot resume. */
type Start = { from: EventId } | { reset: 'too-old' | 'unknown' } | 'now';

/** Opens event streams, as long as there are free slots. */
@Injectable()
export class DueListEventsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly hub: EventHub,
    private readonly places: StreamPlaces,
    private readonly settings: StreamSettings,
  ) {}

  async stream(query: DueListEventsQuery, request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const { fleetId, tokenId, sessionId = null, depotIds = null, role, actor } = fleetScope();
    const readsIn = { language: languageOfRequest(request), units: unitsOfRequest(request) };
    if (request.method === 'HEAD') return void reply.headers(HEADERS).send();
    if (this.hub.isClosing) throw noneFree();
    const place = this.places.take(fleetId, tokenId ?? actor?.id ?? '');
    try {
      const horizon = await horizonOf(this.dataSource.manager, fleetId);
      if (horizon === null) throw new Error(`the fleet ${fleetId} is gone`);
      const start = this.startOf(request.headers['last-event-id'], horizon);
      const position =
        typeof start === 'object' && 'from' in start ? start.from : { xid: horizon.xmin, seq: 0, n: 0 };
      // From here on the response is written past the framework, which has no endless responses.
      reply.headers(HEADERS).hijack();
      const { raw } = reply;
      raw.writeHead(200, reply.getHeaders() as OutgoingHttpHeaders);
      const reader = new EventReader(raw, { tokenId, sessionId, role, depotIds }, readsIn, query, position);
      // A sign-in through an identity provider cannot be checked again, so the client reconnects
      // with a current one.
      if (tokenId === null) setTimeout(() => reader.end(), SIGN_IN_LASTS_MS).unref();
      raw.on('drain', () => this.hub.wakeFleet(fleetId));
      raw.on('error', () => undefined);
      raw.on('close', () => {
        this.hub.remove(fleetId, reader);
        this.places.release(place);
      });
      this.greet(reader, start, horizon);
      this.hub.add(fleetId, reader, horizon);
      place.whenLost(() => reader.end());
      // The client may have hung up before the listener was attached, or the process may have begun
      // to shut down.
      if (raw.destroyed) raw.emit('close');
      else if (this.hub.isClosing) reader.end();
    } catch (error) {
      this.places.release(place);
      throw error;
    }
  }

  /**
   * Sends the first lines: when to reconnect, and then either that the list must be reloaded, that
   * a new day has begun, or the current position.
   */
  private greet(reader: EventReader, start: Start, { timeZone }: Horizon): void {
    const now = this.clock.now().getTime();
    const at = Math.floor(now / 1000);
    const today = civilDateAt(now, timeZone);
    // Spread the reconnects of many clients when a process ends.
    reader.write(`retry: ${2000 + Math.floor(Math.random() * 3000)}\n`);
    if (start !== 'now' && 'reset' in start) reader.tell('reset', { reason: start.reset }, at);
    else if (start !== 'now' && civilDateAt(start.from.at * 1000, timeZone) !== today)
      reader.tell('day', { asOf: today }, at);
    else reader.mark(at);
  }

  private startOf(header: string | string[] | undefined, { xmax }: Horizon): Start {
    if (header === undefined || header === '') return 'now';
    const id = typeof header === 'string' ? readId(header) : null;
    const now = this.clock.now().getTime() / 1000;
    // An id ahead of us comes from another database: this one was restored from a backup.
    if (id === null || id.xid > xmax || id.at > now + CLOCKS_APART_S) return { reset: 'unknown' };
    return id.at < now - this.settings.keptForSeconds ? { reset: 'too-old' } : { from: id };
  }
}
