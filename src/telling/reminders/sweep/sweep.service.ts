import { Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { workForFleet } from '../../../register/fleets/fleet-work.js';
import { Clock } from '../../../platform/clock/clock.js';
import { repeating } from '../../../platform/database/transactions.js';
import { WorkQueue } from '../../../platform/queue/work-queue.js';
import { WakeUps } from '../../../conclusions/outbox/wake-ups.js';
import { hasRequests, takeRequests } from '../../../conclusions/outbox/take-requests.queries.js';
import { firstDeliveries } from '../delivery/delivery-jobs.js';
import { dailyTargets, recordDigest } from '../digests/digests.queries.js';
import { sendHoursOf, withinHours } from '../news/send-hours.js';
import { fleetDayOf } from '../news/fleet-day.js';
import { hasUntold, type Queued, recordUntold } from '../news/untold-lines.queries.js';
import {
  batchesOfNews,
  hasUntoldNews,
  newsSince,
  OTHER_NEWS,
  type OtherNews,
  recordNews,
  reminderOfNews,
  type UntoldNews,
} from '../news/untold-news.queries.js';
import { urgentSendAt } from '../news/urgent.js';
import { type LiveTarget, liveTargets, markSwept } from './sweep.queries.js';

/** Maximum number of outbox rows handled in one transaction. */
const REQUESTS_AT_ONCE = 500;
/**
 * More held readings than this become one message: a batch imported in the wrong unit holds
 * hundreds.
 */
const MOST_HELD_ALONE = 10;
/**
 * How many days back a sweep after a post looks for failed readings. The morning sweep looks
 * further back, for anything missed.
 */
const LOOK_BACK_DAYS_AFTER_POSTS = 1;

/** Receives the reminders that wait to be sent, once they are recorded. */
type Take = (waiting: Queued[]) => Promise<void> | void;

/** What to sweep: the whole fleet unless vehicles are named. */
interface Sweep {
  manager: EntityManager;
  fleet: Fleet;
  targets: LiveTarget[];
  now: Date;
  vehicleIds?: string[];
  /** Failed readings count from this instant on. */
  since: Date;
  take: Take;
}

/** Finds news, and records and queues a reminder for each target that should hear of it. */
@Injectable()
export class SweepService {
  private readonly logger = new Logger('sweep');
  /** Fleets whose outbox rows are being handled. */
  private readonly underWay = new Set<string>();
  /** Fleets for which more rows have been written meanwhile. */
  private readonly asked = new Set<string>();

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly queue: WorkQueue,
    private readonly wakeUps: WakeUps,
  ) {}

  /** Sweeps a whole fleet. This is the morning's work. */
  async sweepFleet(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const sweep = await this.wholeFleet(fleet);
      await this.sweepLines(sweep);
      await this.sweepNews(sweep);
      if (sweep.targets.some(({ digest }) => digest === 'daily')) await this.openDailyDigests(sweep);
      await markSwept(sweep.manager, fleetId, fleetDayOf(fleet, sweep.now).today);
    });
  }

  /** Sweeps the vehicles that have an outbox row. */
  async sweepRequested(fleetId: string): Promise<void> {
    await this.wakeUps.answered(fleetId).catch((error: unknown) => this.logger.warn(String(error)));
    this.asked.add(fleetId);
    // Only one sweep per fleet, which goes on until nothing is left: several would take the room of
    // other fleets.
    if (this.underWay.has(fleetId)) return;
    this.underWay.add(fleetId);
    try {
      while (this.asked.delete(fleetId)) while (await this.sweepSome(fleetId));
    } finally {
      this.underWay.delete(fleetId);
    }
    await this.callForRest(fleetId);
  }

  /**
   * Like `sweepRequested`, but handles only as many rows as fit into one transaction and calls a
   * worker for the rest.
   */
  async sweepSomeRequested(fleetId: string): Promise<void> {
    if (await this.sweepSome(fleetId)) this.wakeUps.wake(fleetId);
    else await this.callForRest(fleetId);
  }

  /**
   * Calls for another sweep later if rows are left. They belong to a transaction that is still
   * open; if it is rolled back, no call will come from it.
   */
  private async callForRest(fleetId: string): Promise<void> {
    const isLeft = await workForFleet(this.dataSource, fleetId, () =>
      hasRequests(this.dataSource.manager, fleetId),
    );
    if (isLeft) this.wakeUps.wakeLater(fleetId);
  }

  /** @returns whether more rows may be left */
  private async sweepSome(fleetId: string): Promise<boolean> {
    const isMore = await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const recorded = await repeating(() => this.recordSome(fleet));
      await this.enqueue(fleetId, recorded.waiting, recorded.now);
      return recorded.isMore;
    });
    return isMore ?? false;
  }

  /** Looks for alerts that no single post raises: those that only show across many vehicles. */
  async sweepAlerts(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async (fleet) =>
      this.sweepKind(await this.wholeFleet(fleet), 'loss-alert'),
    );
  }

  private async wholeFleet(fleet: Fleet): Promise<Sweep> {
    const { manager } = this.dataSource;
    const [now, targets] = [this.clock.now(), await liveTargets(manager, fleet.id)];
    const take = (waiting: Queued[]): Promise<void> => this.enqueue(fleet.id, waiting, now);
    return { manager, fleet, targets, now, since: newsSince(now), take };
  }

  /**
   * Deletes the outbox rows in the same transaction that records the reminders, so a crash loses
   * none.
   */
  private async recordSome(fleet: Fleet): Promise<{ waiting: Queued[]; isMore: boolean; now: Date }> {
    const now = this.clock.now();
    const waiting: Queued[] = [];
    const take = (some: Queued[]): void => void waiting.push(...some);
    const isMore = await this.dataSource.transaction(async (manager) => {
      const { vehicleIds, isMore: areMore } = await takeRequests(manager, fleet.id, REQUESTS_AT_ONCE);
      if (vehicleIds.length === 0) return false;
      const targets = await liveTargets(manager, fleet.id);
      const since = newsSince(now, LOOK_BACK_DAYS_AFTER_POSTS);
      const sweep = { manager, fleet, targets, now, since, vehicleIds, take };
      await this.sweepLines(sweep);
      await this.sweepNews(sweep);
      return areMore;
    });
    return { waiting, isMore, now };
  }

  private async sweepLines({ manager, fleet, targets, now, vehicleIds, take }: Sweep): Promise<void> {
    const { id: fleetId, timeZone } = fleet;
    const sendTimes = targets
      .filter(({ hears }) => hears.includes('due-line'))
      .map((target) => {
        const sendAt = withinHours(now, sendHoursOf(target), timeZone);
        return { targetId: target.targetId, sendAt, urgentAt: urgentSendAt(target, sendAt, now) };
      });
    if (sendTimes.length === 0) return;
    const day = fleetDayOf(fleet, now);
    const part = { vehicleIds, eachOnly: true };
    const recording = { sendTimes, digestId: null, now };
    await recordUntold(manager, fleetId, day, part, recording, take);
  }

  private async sweepNews(sweep: Sweep): Promise<void> {
    for (const news of OTHER_NEWS)
      if (sweep.targets.some(({ hears }) => hears.includes(news))) await this.sweepKind(sweep, news);
  }

  private async sweepKind(sweep: Sweep, news: OtherNews): Promise<void> {
    const { manager, fleet, now, since, vehicleIds, take } = sweep;
    const part = { vehicleIds, since, ungatheredOnly: true };
    for await (const found of batchesOfNews(manager, fleet.id, now, news, part)) {
      const { alone, many } = news === 'held-reading' ? splitPiles(found) : { alone: found, many: [] };
      for (const target of many) await this.openDigest(sweep, target, 'held', uuidv7());
      if (alone.length === 0) continue;
      const reminders = alone.map((each) => {
        const sendAt = withinHours(now, sendHoursOf(each), fleet.timeZone);
        return reminderOfNews(each, null, each.isUrgent ? urgentSendAt(each, sendAt, now) : sendAt);
      });
      await take(await recordNews(manager, fleet.id, reminders, now));
    }
  }

  /**
   * Opens today's digest for each target with a daily digest, if there is anything to put into it.
   */
  private async openDailyDigests(sweep: Sweep): Promise<void> {
    const { manager, fleet, now } = sweep;
    const fleetId = fleet.id;
    const day = fleetDayOf(fleet, now);
    for (const target of await dailyTargets(manager, fleetId)) {
      const { targetId } = target;
      const hasLine = await hasUntold(manager, fleetId, day, { targetIds: [targetId], urgent: 'none' });
      const held = { targetId, since: now };
      if (hasLine || (await hasUntoldNews(manager, fleetId, now, 'held-reading', held)))
        await this.openDigest(sweep, target, 'daily', day.today);
    }
  }

  private async openDigest(
    { manager, fleet, now, take }: Sweep,
    { targetId, ...hours }: { targetId: string; sendFrom: string | null; sendTo: string | null },
    reason: 'daily' | 'held',
    occasion: string,
  ): Promise<void> {
    const sendAt = withinHours(now, sendHoursOf(hours), fleet.timeZone);
    const id = await recordDigest(manager, fleet.id, targetId, reason, occasion, sendAt, now);
    if (id !== null) await take([{ id, nextAttemptAt: sendAt }]);
  }

  private async enqueue(fleetId: string, waiting: Queued[], now: Date): Promise<void> {
    await this.queue.add('deliveries', firstDeliveries(fleetId, waiting, now));
  }
}

/** Separates targets with too much news to send piece by piece. */
function splitPiles(found: UntoldNews[]): { alone: UntoldNews[]; many: UntoldNews[] } {
  const counts = new Map<string, number>();
  for (const { targetId } of found) counts.set(targetId, (counts.get(targetId) ?? 0) + 1);
  const isPile = ({ targetId }: UntoldNews): boolean => (counts.get(targetId) ?? 0) > MOST_HELD_ALONE;
  const first = new Map(found.filter(isPile).map((each) => [each.targetId, each]));
  return { alone: found.filter((each) => !isPile(each)), many: [...first.values()] };
}
