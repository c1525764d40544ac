import { Injectable, Logger } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { civilDateAt, MS_PER_DAY } from '../domain/calendar/zone.js';
import type { Fleet } from '../fleets/fleet.entity.js';
import { workForFleet } from '../fleets/fleet-work.js';
import { Clock } from '../platform/clock/clock.js';
import { repeating } from '../platform/database/transactions.js';
import { WorkQueue } from '../platform/queue/work-queue.js';
import { SweepCalls } from '../sweep-requests/sweep-calls.js';
import { hasRequests, takeRequests } from '../sweep-requests/sweep-requests.queries.js';
import { sweepDayOf } from './sweep-day.js';
import { firstDeliveries } from './delivery-jobs.js';
import { dailyTargets, recordDigest } from './digests.queries.js';
import { type OtherNews, recordNews, type UntoldNews, untoldNews } from './news.queries.js';
import { sendHoursOf, withinHours } from './send-hours.js';
import {
  hasUntold,
  type LiveTarget,
  liveTargets,
  markSwept,
  type Queued,
  recordUntold,
} from './sweep.queries.js';
import { urgentSendAt } from './urgent.js';

/** So many reminders are recorded in one transaction. */
const BATCH = 1000;
/** So many vehicles that are asked for are seen to in one transaction. */
const REQUESTS_AT_ONCE = 500;
/** More held readings than that at once are one message: a batch taken in the wrong unit holds hundreds. */
const MOST_HELD_ALONE = 10;
/** How far back a sweep looks for failed readings: what a job left is looked at at once, what was missed in the morning. */
const LOOK_BACK_DAYS = { afterPosts: 1, morning: 30 };

/** Takes reminders that wait, once they are recorded. */
type Take = (waiting: Queued[]) => Promise<void> | void;

/** What is looked at: all of a fleet where no vehicles are named. */
interface Sweep {
  manager: EntityManager;
  fleet: Fleet;
  targets: LiveTarget[];
  now: Date;
  vehicleIds?: string[];
  lookBackDays: number;
  take: Take;
}

/** Finds what has become news, and records and queues a reminder for each target that hears of it. */
@Injectable()
export class SweepService {
  private readonly logger = new Logger('sweep');
  /** The fleets of which vehicles that are asked for are swept just now. */
  private readonly underWay = new Set<string>();
  /** Those for which that was asked since it began. */
  private readonly asked = new Set<string>();

  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly queue: WorkQueue,
    private readonly calls: SweepCalls,
  ) {}

  /** Sweeps a fleet: the morning's work. */
  async sweepFleet(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const sweep = await this.wholeFleet(fleet, LOOK_BACK_DAYS.morning);
      await this.sweepLines(sweep);
      await this.sweepNews(sweep);
      if (sweep.targets.some(({ digest }) => digest === 'daily')) await this.openDailyDigests(sweep);
      await markSwept(sweep.manager, fleetId, civilDateAt(sweep.now.getTime(), fleet.timeZone));
    });
  }

  /** Sweeps the vehicles that have an outbox row. */
  async sweepRequested(fleetId: string): Promise<void> {
    await this.calls.answered(fleetId).catch((error: unknown) => this.logger.warn(String(error)));
    this.asked.add(fleetId);
    // Several at a time would take the room of other fleets: who is at it goes on.
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
   * As `sweepRequested`, but only as many as one transaction takes. A worker is called for the
   * rest.
   */
  async sweepSomeRequested(fleetId: string): Promise<void> {
    if (await this.sweepSome(fleetId)) this.calls.call(fleetId);
    else await this.callForRest(fleetId);
  }

  /**
   * Rows that are left belong to a transaction that has not ended. If it is undone, it calls
   * nobody.
   */
  private async callForRest(fleetId: string): Promise<void> {
    const isLeft = await workForFleet(this.dataSource, fleetId, () =>
      hasRequests(this.dataSource.manager, fleetId),
    );
    if (isLeft) this.calls.callLater(fleetId);
  }

  /** @returns whether there may be more */
  private async sweepSome(fleetId: string): Promise<boolean> {
    const isMore = await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const recorded = await repeating(() => this.recordSome(fleet));
      await this.enqueue(fleetId, recorded.waiting, recorded.now);
      return recorded.isMore;
    });
    return isMore ?? false;
  }

  /** Looks for alerts that no post raised: those that many vehicles tell together. */
  async sweepAlerts(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async (fleet) =>
      this.sweepKind(await this.wholeFleet(fleet, LOOK_BACK_DAYS.afterPosts), 'loss-alert'),
    );
  }

  private async wholeFleet(fleet: Fleet, lookBackDays: number): Promise<Sweep> {
    const { manager } = this.dataSource;
    const [now, targets] = [this.clock.now(), await liveTargets(manager, fleet.id)];
    const take = (waiting: Queued[]): Promise<void> => this.enqueue(fleet.id, waiting, now);
    return { manager, fleet, targets, now, lookBackDays, take };
  }

  /** Deletes the outbox rows in the transaction that records the reminders: no crash loses one. */
  private async recordSome(fleet: Fleet): Promise<{ waiting: Queued[]; isMore: boolean; now: Date }> {
    const now = this.clock.now();
    const waiting: Queued[] = [];
    const take = (some: Queued[]): void => void waiting.push(...some);
    const isMore = await this.dataSource.transaction(async (manager) => {
      const { vehicleIds, isMore: areMore } = await takeRequests(manager, fleet.id, REQUESTS_AT_ONCE);
      if (vehicleIds.length === 0) return false;
      const targets = await liveTargets(manager, fleet.id);
      const lookBackDays = LOOK_BACK_DAYS.afterPosts;
      const sweep = { manager, fleet, targets, now, vehicleIds, lookBackDays, take };
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
    const day = sweepDayOf(fleet, now);
    const part = { vehicleIds, eachOnly: true };
    const recording = { sendTimes, digestId: null, now };
    for (let full = true; full;) {
      const { found, waiting } = await recordUntold(manager, fleetId, day, part, recording, BATCH);
      full = found === BATCH;
      if (waiting.length > 0) await take(waiting);
    }
  }

  private async sweepNews(sweep: Sweep): Promise<void> {
    for (const news of ['loss-alert', 'failed-reading', 'held-reading'] as const)
      if (sweep.targets.some(({ hears }) => hears.includes(news))) await this.sweepKind(sweep, news);
  }

  private async sweepKind(sweep: Sweep, news: OtherNews): Promise<void> {
    const { manager, fleet, now, vehicleIds, lookBackDays, take } = sweep;
    const since = new Date(now.getTime() - lookBackDays * MS_PER_DAY);
    const part = { vehicleIds, since, ungatheredOnly: true };
    for (let full = true; full;) {
      const found = await untoldNews(manager, fleet.id, now, news, part, BATCH);
      full = found.length === BATCH;
      const { alone, many } = news === 'held-reading' ? splitPiles(found) : { alone: found, many: [] };
      for (const target of many) await this.openDigest(sweep, target, 'held', uuidv7());
      if (alone.length === 0) continue;
      const reminders = alone.map(({ sendFrom, sendTo, urgent, isUrgent, ...each }) => {
        const sendAt = withinHours(now, sendHoursOf({ sendFrom, sendTo }), fleet.timeZone);
        const nextAttemptAt = isUrgent ? urgentSendAt({ urgent }, sendAt, now) : sendAt;
        return { ...each, id: uuidv7(), digestId: null, nextAttemptAt };
      });
      await take(await recordNews(manager, fleet.id, reminders, now));
    }
  }

  /** For each target that is told once a day: today's digest, if there is anything to put in it. */
  private async openDailyDigests(sweep: Sweep): Promise<void> {
    const { manager, fleet, now } = sweep;
    const fleetId = fleet.id;
    const day = sweepDayOf(fleet, now);
    for (const target of await dailyTargets(manager, fleetId)) {
      const { targetId } = target;
      const hasLine = await hasUntold(manager, fleetId, day, { targetIds: [targetId], urgent: 'none' });
      const [held] = hasLine
        ? []
        : await untoldNews(manager, fleetId, now, 'held-reading', { targetId, since: now }, 1);
      if (hasLine || held) await this.openDigest(sweep, target, 'daily', day.today);
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

/** Sets targets apart for which there is too much to tell each piece by itself. */
function splitPiles(found: UntoldNews[]): { alone: UntoldNews[]; many: UntoldNews[] } {
  const counts = new Map<string, number>();
  for (const { targetId } of found) counts.set(targetId, (counts.get(targetId) ?? 0) + 1);
  const isPile = ({ targetId }: UntoldNews): boolean => (counts.get(targetId) ?? 0) > MOST_HELD_ALONE;
  const first = new Map(found.filter(isPile).map((each) => [each.targetId, each]));
  return { alone: found.filter((each) => !isPile(each)), many: [...first.values()] };
}
