import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { civilDateAt } from '../domain/calendar/zone.js';
import type { Fleet } from '../fleets/fleet.entity.js';
import { workForFleet } from '../fleets/fleet-work.js';
import { Clock } from '../platform/clock/clock.js';
import { WorkQueue } from '../platform/queue/work-queue.js';
import { deliveryJob } from './delivery-jobs.js';
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
/** More held readings than that at once are one message: a batch taken in the wrong unit holds hundreds. */
const MOST_HELD_ALONE = 10;
const MS_PER_DAY = 86_400_000;
/** How far back a sweep looks for failed readings: what a job left is looked at at once, what was missed in the morning. */
const LOOK_BACK_DAYS = { afterPosts: 1, morning: 30 };

/** Finds what has become news, and records and queues a reminder for each target that hears of it. */
@Injectable()
export class SweepService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
    private readonly queue: WorkQueue,
  ) {}

  /** Sweeps a fleet: the morning's work. */
  async sweepFleet(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const now = this.clock.now();
      const targets = await liveTargets(this.dataSource.manager, fleetId);
      await this.sweepLines(fleet, targets, now, undefined);
      await this.sweepNews(fleet, targets, now, undefined, LOOK_BACK_DAYS.morning);
      if (targets.some(({ digest }) => digest === 'daily')) await this.openDailyDigests(fleet, now);
      await markSwept(this.dataSource.manager, fleetId, civilDateAt(now.getTime(), fleet.timeZone));
    });
  }

  /** Sweeps some vehicles, after something was recorded about them. */
  async sweepVehicles(fleetId: string, vehicleIds: string[]): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async (fleet) => {
      const now = this.clock.now();
      const targets = await liveTargets(this.dataSource.manager, fleetId);
      await this.sweepLines(fleet, targets, now, vehicleIds);
      await this.sweepNews(fleet, targets, now, vehicleIds, LOOK_BACK_DAYS.afterPosts);
    });
  }

  /** Looks for alerts that no post raised: those that many vehicles tell together. */
  async sweepAlerts(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, (fleet) =>
      this.sweepKind(fleet, this.clock.now(), 'loss-alert', undefined, LOOK_BACK_DAYS.afterPosts),
    );
  }

  private async sweepLines(
    fleet: Fleet,
    targets: LiveTarget[],
    now: Date,
    vehicleIds: string[] | undefined,
  ): Promise<void> {
    const { id: fleetId, timeZone, greatestLeadDays } = fleet;
    const sendTimes = targets
      .filter(({ hears }) => hears.includes('due-line'))
      .map((target) => {
        const sendAt = withinHours(now, sendHoursOf(target), timeZone);
        return { targetId: target.targetId, sendAt, urgentAt: urgentSendAt(target, sendAt, now) };
      });
    if (sendTimes.length === 0) return;
    const day = { today: civilDateAt(now.getTime(), timeZone), timeZone, greatestLeadDays };
    const part = { vehicleIds, eachOnly: true };
    const recording = { sendTimes, digestId: null, now };
    for (let full = true; full;) {
      const { found, waiting } = await recordUntold(
        this.dataSource.manager,
        fleetId,
        day,
        part,
        recording,
        BATCH,
      );
      full = found === BATCH;
      if (waiting.length > 0) await this.enqueue(fleetId, waiting, now);
    }
  }

  private async sweepNews(
    fleet: Fleet,
    targets: LiveTarget[],
    now: Date,
    vehicleIds: string[] | undefined,
    lookBackDays: number,
  ): Promise<void> {
    for (const news of ['loss-alert', 'failed-reading', 'held-reading'] as const)
      if (targets.some(({ hears }) => hears.includes(news)))
        await this.sweepKind(fleet, now, news, vehicleIds, lookBackDays);
  }

  private async sweepKind(
    fleet: Fleet,
    now: Date,
    news: OtherNews,
    vehicleIds: string[] | undefined,
    lookBackDays: number,
  ): Promise<void> {
    const since = new Date(now.getTime() - lookBackDays * MS_PER_DAY);
    for (let full = true; full;) {
      const found = await untoldNews(
        this.dataSource.manager,
        fleet.id,
        now,
        news,
        { vehicleIds, since, ungatheredOnly: true },
        BATCH,
      );
      full = found.length === BATCH;
      const { alone, many } = news === 'held-reading' ? splitPiles(found) : { alone: found, many: [] };
      for (const target of many) await this.openDigest(fleet, now, target, 'held', uuidv7());
      if (alone.length === 0) continue;
      const waiting = await recordNews(
        this.dataSource.manager,
        fleet.id,
        alone.map(({ sendFrom, sendTo, ...each }) => ({
          ...each,
          id: uuidv7(),
          digestId: null,
          nextAttemptAt: withinHours(now, sendHoursOf({ sendFrom, sendTo }), fleet.timeZone),
        })),
        now,
      );
      await this.enqueue(fleet.id, waiting, now);
    }
  }

  /** For each target that is told once a day: today's digest, if there is anything to put in it. */
  private async openDailyDigests(fleet: Fleet, now: Date): Promise<void> {
    const { manager } = this.dataSource;
    const { id: fleetId, timeZone, greatestLeadDays } = fleet;
    const today = civilDateAt(now.getTime(), timeZone);
    const day = { today, timeZone, greatestLeadDays };
    for (const target of await dailyTargets(manager, fleetId)) {
      const { targetId } = target;
      const hasLine = await hasUntold(manager, fleetId, day, { targetIds: [targetId], urgent: 'none' });
      const [held] = hasLine
        ? []
        : await untoldNews(manager, fleetId, now, 'held-reading', { targetId, since: now }, 1);
      if (hasLine || held) await this.openDigest(fleet, now, target, 'daily', today);
    }
  }

  private async openDigest(
    { id: fleetId, timeZone }: Fleet,
    now: Date,
    { targetId, ...hours }: { targetId: string; sendFrom: string | null; sendTo: string | null },
    reason: 'daily' | 'held',
    occasion: string,
  ): Promise<void> {
    const sendAt = withinHours(now, sendHoursOf(hours), timeZone);
    const id = await recordDigest(this.dataSource.manager, fleetId, targetId, reason, occasion, sendAt, now);
    if (id !== null) await this.enqueue(fleetId, [{ id, nextAttemptAt: sendAt }], now);
  }

  private async enqueue(fleetId: string, waiting: Queued[], now: Date): Promise<void> {
    await this.queue.add(
      'deliveries',
      waiting.map(({ id, nextAttemptAt }) => deliveryJob(fleetId, id, 1, nextAttemptAt, now)),
    );
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
