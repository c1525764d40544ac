import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { civilDateAt } from '../../../domain/calendar/zone.js';
import { dueLineViews } from '../../../conclusions/due-list/due-line-view.js';
import type { Fleet } from '../../../entities/fleet.entity.js';
import { lossAlertView } from '../../../conclusions/loss-alerts/loss-alert-view.js';
import { lossAlertRows } from '../../../conclusions/loss-alerts/loss-alerts.queries.js';
import { messageText, viewOfHeld, viewOfReading } from '../messages/messages.js';
import {
  failedReadingRows,
  heldReadingRows,
  linesOfDigest,
  subjectsOfDigest,
} from '../messages/messages.queries.js';
import { recipientOf } from '../messages/recipient.js';
import type { ReminderInHand } from '../messages/reminder-in-hand.queries.js';
import { CATCH_UP, type DigestReason, reasonOfDigest } from '../news/digest-reasons.js';
import { fleetDayOf } from '../news/fleet-day.js';
import { type LinePart, recordUntold } from '../news/untold-lines.queries.js';
import {
  batchesOfNews,
  newsSince,
  type OtherNews,
  recordNews,
  reminderOfNews,
} from '../news/untold-news.queries.js';
import { keepBody, lockedDigest, membersByKind } from './digests.queries.js';

/** A message shows at most this many items of each kind of news, and says how many there are. */
const MOST_SHOWN = 500;

/**
 * What a digest collects besides due lines. Alerts and failed readings are normally sent at once
 * and on their own; only a new target gets them in a digest.
 */
const ALSO: Record<DigestReason, OtherNews[]> = {
  daily: ['held-reading'],
  held: ['held-reading'],
  [CATCH_UP]: ['loss-alert', 'failed-reading', 'held-reading'],
};

/**
 * Which lines a digest collects. A daily digest leaves out urgent lines, which are sent on their
 * own. A catch-up digest takes all lines that have not been sent.
 */
const PART: Record<'daily' | typeof CATCH_UP, LinePart> = { daily: { urgent: 'none' }, [CATCH_UP]: {} };

/** Collects, at the moment of sending, what a target has not been told yet. */
@Injectable()
export class DigestsService {
  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  /** @returns the message, which is also stored; null when there is nothing left to tell */
  gather(fleet: Fleet, reminder: ReminderInHand, now: Date): Promise<string | null> {
    const { reminderId, targetId } = reminder;
    return this.dataSource.transaction(async (tx) => {
      const { body, cycle } = await lockedDigest(tx, fleet.id, reminderId);
      if (body !== null) return body;
      const reason = reasonOfDigest(cycle);
      // A digest of held readings contains nothing else: that target gets each line on its own.
      if (reason !== 'held') await gatherLines(tx, fleet, reminderId, targetId, PART[reason], now);
      for (const news of ALSO[reason]) await gatherNews(tx, fleet, reminderId, targetId, news, now);
      const counts = await membersByKind(tx, fleet.id, reminderId);
      if (Object.keys(counts).length === 0) return null;
      const data = await contentOf(tx, fleet, reminderId, counts, now);
      const about = { reminderTargetId: targetId, reason, day: civilDateAt(now.getTime(), fleet.timeZone) };
      return keepBody(
        tx,
        fleet.id,
        reminderId,
        messageText('digest', { ...about, ...data }, now, recipientOf(fleet, reminder)),
      );
    });
  }
}

async function gatherLines(
  tx: EntityManager,
  fleet: Fleet,
  digestId: string,
  targetId: string,
  part: LinePart,
  now: Date,
): Promise<void> {
  const recording = { sendTimes: [{ targetId, sendAt: now, urgentAt: now }], digestId, now };
  await recordUntold(tx, fleet.id, fleetDayOf(fleet, now), part, recording);
}

async function gatherNews(
  tx: EntityManager,
  { id: fleetId }: Fleet,
  digestId: string,
  targetId: string,
  news: OtherNews,
  now: Date,
): Promise<void> {
  const part = { targetId, since: newsSince(now) };
  for await (const found of batchesOfNews(tx, fleetId, now, news, part)) {
    const members = found.map((each) => reminderOfNews(each, digestId, now));
    await recordNews(tx, fleetId, members, now);
  }
}

async function contentOf(
  tx: EntityManager,
  { id: fleetId, timeZone }: Fleet,
  digestId: string,
  counts: Record<string, number>,
  now: Date,
) {
  const subjects = (news: OtherNews) => subjectsOfDigest(tx, fleetId, digestId, news, MOST_SHOWN);
  const lines = await linesOfDigest(tx, fleetId, digestId, MOST_SHOWN);
  const alerts = await lossAlertRows(
    tx,
    fleetId,
    now,
    { ids: await subjects('loss-alert') },
    null,
    MOST_SHOWN,
  );
  const failed = await failedReadingRows(tx, fleetId, await subjects('failed-reading'));
  const held = await heldReadingRows(tx, fleetId, await subjects('held-reading'));
  return {
    total: Object.values(counts).reduce((sum, count) => sum + count, 0),
    shown: lines.length + alerts.length + failed.length + held.length,
    counts,
    dueLines: lines.map(dueLineViews(now, timeZone)),
    lossAlerts: alerts.map(lossAlertView),
    failedReadings: failed.map(viewOfReading),
    heldReadings: held.map(viewOfHeld),
  };
}
