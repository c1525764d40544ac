import { type BeforeApplicationShutdown, Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { Clock } from '../../platform/clock/clock.js';
import { inFleet } from '../../platform/scope/fleet-scope.js';
import { goodHolders, type GoodHolder, type Horizon, toldAfter } from './due-list-events.queries.js';
import { comparePositions, credentialOf, type EventReader, type StreamHolder } from './event-reader.js';
import { EventTexts } from './event-texts.js';
import { NoticeListener } from './notice-listener.js';
import { RevokedTokens } from './revoked-tokens.js';
import { StreamSettings } from './stream-settings.js';

/** How many subjects are read and sent at a time. */
const PAGE = 200;
/**
 * How many fleets have their events read at the same time. The other pool connections are for
 * requests.
 */
const FLEETS_AT_A_TIME = 3;
const HELD_UP_PAUSE_MS = 200;
const LONGEST_PAUSE_MS = 2000;
/** A stream ends when its token could not be checked for this many heartbeats. */
const UNCHECKED_HEARTBEATS = 4;

/** Whether a holder is still valid, in the same role and depots. */
function maySeeAsBefore({ role, depotIds }: StreamHolder, now: GoodHolder | undefined): boolean {
  return now !== undefined && now.role === role && now.depotIds?.join() === depotIds?.join();
}

/** A fleet with readers in this process. */
interface Feed {
  fleetId: string;
  readers: Set<EventReader>;
  timeZone: string;
  day: string;
  readAt: number;
  heartbeatAt: number;
  checkedAt: number;
  isChecking: boolean;
  /** Pause before the next read, while an event waits for an older transaction to end. */
  pauseMs: number;
  retry?: NodeJS.Timeout;
}

/**
 * Sends each fleet's readers their new events. One read of the table serves all of them, wherever
 * each one has got to.
 */
@Injectable()
export class EventHub implements BeforeApplicationShutdown {
  private readonly logger = new Logger('events');
  private readonly feeds = new Map<string, Feed>();
  private readonly waiting = new Set<Feed>();
  private readonly busy = new Map<Feed, Promise<void>>();
  private readonly revoked = new RevokedTokens();
  private timer: NodeJS.Timeout | undefined;
  private complainedAt = -Infinity;
  isClosing = false;

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly listener: NoticeListener,
    private readonly texts: EventTexts,
    private readonly settings: StreamSettings,
  ) {}

  add(fleetId: string, reader: EventReader, { timeZone }: Pick<Horizon, 'timeZone'>): void {
    const now = performance.now();
    let feed = this.feeds.get(fleetId);
    if (!feed) {
      const day = this.dayIn(timeZone);
      feed = {
        ...{ fleetId, readers: new Set(), timeZone, day, readAt: -Infinity, pauseMs: 0 },
        ...{ heartbeatAt: now + this.settings.heartbeatMs, checkedAt: now, isChecking: false },
      };
      this.feeds.set(fleetId, feed);
    }
    feed.readers.add(reader);
    this.timer ??= setInterval(() => this.look(), this.settings.lookEveryMs);
    this.listener.listen({
      news: (told) => this.wakeFleet(told),
      revoked: (of, tokenId) => this.endStreamsOf(of, tokenId),
      changed: (of, personId) => this.endOpen(of, personId),
      missed: () => this.catchUp(),
    });
    this.wake(feed);
    // The token may have been revoked while the stream was being opened.
    const { tokenId, sessionId } = reader.holder;
    if (this.revoked.has(tokenId) || this.revoked.has(sessionId)) reader.end();
  }

  /** Ends the open streams of a token or a session that is no longer valid. */
  endStreamsOf(fleetId: string, tokenId: string): void {
    this.revoked.add(tokenId);
    this.endOpen(fleetId, tokenId);
  }

  /** The clients reconnect, and then see what they may see now. */
  private endOpen(fleetId: string, id: string): void {
    for (const reader of this.feeds.get(fleetId)?.readers ?? []) if (reader.isOf(id)) reader.end();
  }

  private catchUp(): void {
    for (const feed of this.feeds.values()) {
      this.wake(feed);
      void this.checkTokens(feed);
    }
  }

  remove(fleetId: string, reader: EventReader): void {
    const feed = this.feeds.get(fleetId);
    if (!feed?.readers.delete(reader) || feed.readers.size > 0) return;
    clearTimeout(feed.retry);
    this.waiting.delete(feed);
    this.feeds.delete(fleetId);
    if (this.feeds.size > 0) return;
    clearInterval(this.timer);
    this.timer = undefined;
  }

  /** Call when a reader has taken its buffered data. */
  wakeFleet(fleetId: string): void {
    const feed = this.feeds.get(fleetId);
    if (feed) this.wake(feed);
  }

  async beforeApplicationShutdown(): Promise<void> {
    this.isClosing = true;
    clearInterval(this.timer);
    this.waiting.clear();
    for (const feed of this.feeds.values()) {
      clearTimeout(feed.retry);
      for (const reader of feed.readers) reader.end();
    }
    await Promise.all([...this.busy.values(), this.listener.close()]);
  }

  private wake(feed: Feed): void {
    if (this.isClosing) return;
    this.waiting.add(feed);
    this.readNext();
  }

  private readNext(): void {
    for (const feed of this.waiting) {
      if (this.busy.size >= FLEETS_AT_A_TIME) return;
      if (this.busy.has(feed)) continue;
      this.waiting.delete(feed);
      this.busy.set(
        feed,
        this.read(feed).finally(() => {
          this.busy.delete(feed);
          this.readNext();
        }),
      );
    }
  }

  /** Reads until there is nothing more to send. */
  private async read(feed: Feed): Promise<void> {
    feed.readAt = performance.now();
    clearTimeout(feed.retry);
    const { fleetId, timeZone } = feed;
    const scope = { fleetId, timeZone, units: 'si' as const, tokenId: null, role: null };
    try {
      let isHeldUp = false;
      await inFleet(scope, async () => {
        for (let isMore = true; isMore && !this.isClosing;)
          ({ isMore, isHeldUp } = await this.readPage(feed));
      });
      feed.pauseMs = isHeldUp ? Math.min(Math.max(feed.pauseMs * 2, HELD_UP_PAUSE_MS), LONGEST_PAUSE_MS) : 0;
      if (isHeldUp && !this.isClosing) feed.retry = setTimeout(() => this.wake(feed), feed.pauseMs).unref();
    } catch (error) {
      this.complain(error);
    }
  }

  private async readPage(feed: Feed): Promise<{ isMore: boolean; isHeldUp: boolean }> {
    const ready = [...feed.readers].filter((reader) => !reader.isStuck(this.settings.mostBufferedBytes));
    const [first] = ready.toSorted((a, b) => comparePositions(a.position, b.position));
    if (!first) return { isMore: false, isHeldUp: false };
    const from = first.position;
    const { manager } = this.dataSource;
    const found = await toldAfter(manager, feed.fleetId, from, PAGE);
    if (found === null) return { isMore: false, isHeldUp: false };
    const { told, horizon } = found;
    feed.timeZone = horizon.timeZone;
    const last = told.length === PAGE ? told.at(-1) : undefined;
    const end = last ?? { xid: horizon.xmin, seq: 0, n: 0 };
    const now = this.clock.now();
    const texts = await this.texts.of(manager, feed, told, now);
    for (const reader of ready) {
      const isNewTo = told.map((row) => comparePositions(row, reader.position) > 0);
      const wanted = texts.filter(({ row, subject }, index) => isNewTo[index] && reader.wants(row, subject));
      reader.write(wanted.map(({ text }) => text(reader.readsIn)).join(''));
      if (comparePositions(end, reader.position) > 0) {
        const { xid, seq, n } = end;
        reader.position = { xid, seq, n };
      }
      if (texts.some(({ row, subject }, index) => isNewTo[index] && reader.loses(row, subject)))
        reader.tell('reset', { reason: 'moved' }, Math.floor(now.getTime() / 1000));
    }
    return { isMore: last !== undefined, isHeldUp: horizon.isHeldUp };
  }

  /** Does what depends on the time: slow readers, new days, heartbeats and polling. */
  private look(): void {
    const now = performance.now();
    const at = this.clock.now().getTime();
    const { heartbeatMs, pollMs, pollUnheardMs, mostBufferedBytes, dropAfterMs } = this.settings;
    for (const feed of [...this.feeds.values()]) {
      for (const reader of feed.readers)
        if (reader.stuckForMs(mostBufferedBytes) > dropAfterMs) reader.drop();
      const day = this.dayIn(feed.timeZone);
      if (day !== feed.day) {
        feed.day = day;
        for (const reader of feed.readers) reader.tell('day', { asOf: day }, Math.floor(at / 1000));
      }
      if (now >= feed.heartbeatAt && !feed.isChecking) {
        feed.heartbeatAt = now + heartbeatMs;
        feed.isChecking = true;
        void this.heartbeat(feed).finally(() => (feed.isChecking = false));
      }
      if (now - feed.readAt >= (this.listener.isListening ? pollMs : pollUnheardMs)) this.wake(feed);
    }
  }

  /** Sends every reader a sign of life, and ends the streams whose token is no longer valid. */
  private async heartbeat(feed: Feed): Promise<void> {
    await this.checkTokens(feed);
    for (const reader of feed.readers) reader.mark(Math.floor(this.clock.now().getTime() / 1000));
  }

  private async checkTokens(feed: Feed): Promise<void> {
    const { fleetId, timeZone, readers } = feed;
    const now = this.clock.now();
    try {
      const ids = [...new Set([...readers].flatMap(({ holder }) => credentialOf(holder) ?? []))];
      const good = await inFleet({ fleetId, timeZone, units: 'si', tokenId: null, role: null }, () =>
        goodHolders(this.dataSource.manager, fleetId, ids, now),
      );
      feed.checkedAt = performance.now();
      for (const reader of readers) {
        const id = credentialOf(reader.holder);
        if (id !== null && ids.includes(id) && !maySeeAsBefore(reader.holder, good.get(id))) reader.end();
      }
    } catch (error) {
      this.complain(error);
      if (performance.now() - feed.checkedAt > UNCHECKED_HEARTBEATS * this.settings.heartbeatMs)
        for (const reader of readers) reader.end();
    }
  }

  private dayIn(timeZone: string): string {
    return civilDateAt(this.clock.now().getTime(), timeZone);
  }

  /** Logs at most once in ten seconds that the database is away. */
  private complain(error: unknown): void {
    const now = performance.now();
    if (now - this.complainedAt < 10_000) return;
    this.complainedAt = now;
    this.logger.warn(`events could not be read; tried again soon: ${String(error)}`);
  }
}
